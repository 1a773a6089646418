import { parseArgs } from 'node:util'
import { realOutside } from '../outside.ts'
import { readConfigOrExit } from '../run.ts'
import { addresses, newTechnicianPass, signInLink } from '../sign-in.ts'
import { openStore } from '../store/open.ts'

const HELP = `npm run sign-in -- [--name NAME] [--shop SHOP]

Makes a new sign-in link for a technician, while the server runs or not. Older links stay good.
  --name NAME  what the record calls this technician, such as "Sam"
  --shop SHOP  the shop's id; without it, demo`

let values: { name?: string; shop: string; help?: boolean }
try {
  values = parseArgs({
    options: { name: { type: 'string' }, shop: { type: 'string', default: 'demo' }, help: { type: 'boolean' } },
  }).values as typeof values
} catch (error) {
  console.error(`${(error as Error).message}\n\n${HELP}`)
  process.exit(2)
}
if (values.help) {
  console.log(HELP)
  process.exit(0)
}
const config = readConfigOrExit()
const store = await openStore(config, realOutside.now())
if (!(await store.shop(values.shop))) {
  console.error(
    `There is no shop "${values.shop}" in DATA_DIR=${config.dataDir}. Start the server once, or mend the id.`,
  )
  await store.close()
  process.exit(1)
}
const pass = await newTechnicianPass(store, realOutside, { shop: values.shop, name: values.name })
await store.close()
console.log(signInLink(addresses(config.host, config.port)[0]!, pass, values.shop))
