import { readdirSync, readFileSync } from 'node:fs'
import { join, relative } from 'node:path'
import * as analyzer from '@custom-elements-manifest/analyzer'

/** What the package exports and its types leave out; it brings the TypeScript that it reads with. */
const { create, ts } = analyzer as unknown as {
  create(options: { modules: object[]; plugins: object[]; context: { dev: boolean } }): object
  ts: {
    createSourceFile(name: string, text: string, target: number, setParentNodes: boolean): object
    ScriptTarget: { ES2022: number }
  }
}

/**
 * The custom elements manifest of the elements in a folder, made from their source: attributes, properties, events, slots,
 * CSS parts and custom properties as their doc comments say. Editors and storybooks read it.
 */
export function manifestOf(folder: string): object {
  const files = readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((f) => /^[\w-]+\/[\w-]+\.ts$/.test(f.replaceAll('\\', '/')) && !/(\.test|\.styles|\.d)\.ts$/.test(f))
    .map((f) => join(folder, f))
    .filter((f) => /\bdefine\('/.test(readFileSync(f, 'utf8')))
    .sort()
  const modules = files.map((f) =>
    ts.createSourceFile(
      relative(folder, f).replaceAll('\\', '/'),
      readFileSync(f, 'utf8'),
      ts.ScriptTarget.ES2022,
      true,
    ),
  )
  return create({ modules, plugins: [], context: { dev: false } })
}
