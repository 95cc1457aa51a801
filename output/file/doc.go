// Package file writes files whole or not at all, and tells how much room a
// disk has. Start from Write. It knows nothing of what the files hold.
package file
