import { writeFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { caseFileSchema } from '../../rules/record/case-file.ts'

/** The published schema of an exported case, written from the schema that an import is checked against. */
const file = fileURLToPath(new URL('../../rules/record/case.schema.json', import.meta.url))
writeFileSync(file, `${JSON.stringify(caseFileSchema(), null, 2)}\n`)
