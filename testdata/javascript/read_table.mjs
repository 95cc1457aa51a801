// Prints what hyparquet finds in a Parquet file, as one JSON object: names and
// types of the columns, rows, number of nulls, metadata of the schema.
//
// Usage: node read_table.mjs FILE.parquet

import { asyncBufferFromFile, parquetMetadataAsync, parquetReadObjects, parquetSchema } from 'hyparquet'
import { compressors } from 'hyparquet-compressors'

const file = await asyncBufferFromFile(process.argv[2])
const metadata = await parquetMetadataAsync(file)
const columns = parquetSchema(metadata).children.map((c) => c.element)
const objects = await parquetReadObjects({ file, metadata, compressors })
const names = columns.map((c) => c.name)

console.log(JSON.stringify({
  names,
  types: columns.map((c) => [c.type, c.converted_type].filter(Boolean).join(' ')),
  nullable: columns.map((c) => c.repetition_type === 'OPTIONAL'),
  nulls: names.map((n) => objects.filter((o) => o[n] === null || o[n] === undefined).length),
  rows: objects.map((o) => names.map((n) => o[n])),
  schema: Object.fromEntries(metadata.key_value_metadata.map((kv) => [kv.key, kv.value])),
}))
