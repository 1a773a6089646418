import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { manifestOf } from './manifest.ts'

/** Run after changing what an element takes or tells: `npx tsx client/build/write-manifest.ts`. */
const root = join(import.meta.dirname, '..')
writeFileSync(
  join(root, 'public/custom-elements.json'),
  `${JSON.stringify(manifestOf(join(root, 'elements')), null, 2)}\n`,
)
