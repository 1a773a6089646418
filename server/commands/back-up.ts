import { realOutside } from '../outside.ts'
import { readConfigOrExit } from '../run.ts'
import { backUp } from '../store/back-up.ts'
import { openStore } from '../store/open.ts'
import { argumentsOf, asCommand, table } from './command.ts'

const HELP = `npm run back-up -- FILE

Writes everything that the server keeps (DATA_DIR, or DATABASE_URL) into one compressed FILE, while it runs or not.
The file holds customers' words and phones: keep it as safe as the server itself. It can be put back into either
kind of database with: npm run restore -- FILE`

const file = argumentsOf(HELP, {}, { least: 1, most: 1 }).positionals[0]!
await asCommand(async () => {
  const store = await openStore(readConfigOrExit(), realOutside.now())
  try {
    const rows = await backUp(store.db, file, realOutside.now())
    console.log(table([['table', 'rows'], ...Object.entries(rows).map(([name, n]) => [name, String(n)])]))
    console.log(`Written to ${file}`)
  } finally {
    await store.close()
  }
})
