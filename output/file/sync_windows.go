package file

// SyncFolder does nothing: folders cannot be synced here, and the file system
// journals renames.
func SyncFolder(string) error { return nil }
