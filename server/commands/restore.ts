import { realOutside } from '../outside.ts'
import { readConfigOrExit } from '../run.ts'
import { restore } from '../store/back-up.ts'
import { databaseOf } from '../store/open.ts'
import { argumentsOf, asCommand, table } from './command.ts'

const HELP = `npm run restore -- FILE [--replace]

Puts a back-up into the store that DATA_DIR or DATABASE_URL names: all of it, or nothing. Stop the server first.
  --replace  what is in that store now is deleted; without it a store in use is left alone`

const { values, positionals } = argumentsOf(HELP, { replace: { type: 'boolean' } }, { least: 1, most: 1 })
await asCommand(async () => {
  const db = databaseOf(readConfigOrExit())
  try {
    const rows = await restore(db, positionals[0]!, { at: realOutside.now(), replace: values.replace === true })
    console.log(table([['table', 'rows'], ...Object.entries(rows).map(([name, n]) => [name, String(n)])]))
    console.log('Restored. Start the server.')
  } finally {
    await db.close()
  }
})
