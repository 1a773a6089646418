import { parseArgs } from 'node:util'
import { realOutside } from '../outside.ts'
import { readConfigOrExit } from '../run.ts'
import { addresses, type LinkRole, newLinkPass, signInLink } from '../sign-in.ts'
import { openStore } from '../store/open.ts'

const HELP = `npm run sign-in -- [--role ROLE] [--name NAME] [--shop SHOP]

Makes a new sign-in link, while the server runs or not. Older links stay good.
  --role ROLE  technician or dealer; without it, technician
  --name NAME  what the record calls this technician, such as "Sam"
  --shop SHOP  the shop's id; without it, demo`

let values: { name?: string; role: string; shop: string; help?: boolean }
try {
  values = parseArgs({
    options: {
      name: { type: 'string' },
      role: { type: 'string', default: 'technician' },
      shop: { type: 'string', default: 'demo' },
      help: { type: 'boolean' },
    },
  }).values as typeof values
} catch (error) {
  console.error(`${(error as Error).message}\n\n${HELP}`)
  process.exit(2)
}
if (values.help) {
  console.log(HELP)
  process.exit(0)
}
if (values.role !== 'technician' && values.role !== 'dealer') {
  console.error(`There is no role "${values.role}": technician or dealer.\n\n${HELP}`)
  process.exit(2)
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
const pass = await newLinkPass(store, realOutside, {
  shop: values.shop,
  role: values.role as LinkRole,
  name: values.name,
})
await store.close()
console.log(signInLink(addresses(config.host, config.port)[0]!, pass, values.shop, values.role as LinkRole))
