import { createHash } from 'node:crypto'
import { readdirSync, readFileSync } from 'node:fs'
import { join, resolve } from 'node:path'
import { gzipSync } from 'node:zlib'
import type { Plugin } from 'vite'
import { compile } from '../../rules/reasoning/compile.ts'
import { hashOf, reasoningHashOf } from '../../rules/reasoning/hash.ts'
import { pack } from '../../rules/reasoning/packed.ts'
import { parseKnowledge, type SourceFile } from '../../rules/schema/parse.ts'
import { formatProblem } from '../../rules/schema/problem.ts'
import { languagesOf, textsOfLanguage } from '../../rules/schema/texts.ts'

const RULES = resolve(import.meta.dirname, '../../rules')
const MODULE = 'virtual:local-assets'
const SENTENCES = 'virtual:sentences'
const FOLDER = 'assets/'

/** What a browser fetches to reason by itself; names of files beside the script that fetches them. */
export interface LocalAssets {
  /** hash of the knowledge, as a case is pinned to it */
  hash: string
  tables: string
  knowledge: string
  /** by language, English aside: that is the knowledge itself */
  texts: Record<string, string>
}

interface Made {
  names: LocalAssets
  files: Map<string, Uint8Array>
}

/**
 * Local mode's data, made from the knowledge at build: the compiled tables, the knowledge, and each other language's texts
 * apart, so that nobody fetches a language they do not read. Names carry the knowledge's hash and one of the bytes; the bytes
 * are compressed here, since a plain file server does not do it. `virtual:local-assets` says their names.
 */
export function localAssets(): Plugin {
  let made: Promise<Made> | undefined
  let served = false
  return {
    name: 'benchlamp-local-assets',
    configResolved(config) {
      served = config.command === 'serve'
    },
    resolveId: (id) => (id === MODULE ? `\0${MODULE}` : undefined),
    async load(id) {
      if (id !== `\0${MODULE}`) return
      made ??= make()
      const { names, files } = await made
      if (!served) for (const [name, source] of files) this.emitFile({ type: 'asset', fileName: FOLDER + name, source })
      const at = (name: string) => (served ? `/${FOLDER}${name}` : `./${name}`)
      const texts = Object.fromEntries(Object.entries(names.texts).map(([language, name]) => [language, at(name)]))
      return `export default ${JSON.stringify({ ...names, tables: at(names.tables), knowledge: at(names.knowledge), texts })}`
    },
    configureServer(server) {
      server.middlewares.use(async (request, response, next) => {
        const name = /^\/assets\/([\w.-]+\.bin)$/.exec(request.url ?? '')?.[1]
        made ??= name ? make() : undefined
        const found = name && (await made)?.files.get(name)
        if (!found) return next()
        response.setHeader('content-type', 'application/octet-stream')
        response.end(found)
      })
    },
  }
}

/** The page's script and the worker's are built apart and name the same files. */
let last: { hash: string; made: Promise<Made> } | undefined

function make(): Promise<Made> {
  const files = readKnowledge()
  const hash = hashOf(files)
  if (last?.hash !== hash) last = { hash, made: makeOf(files, hash) }
  return last.made
}

async function makeOf(files: readonly SourceFile[], hash: string): Promise<Made> {
  const { knowledge, problems } = parseKnowledge(files)
  if (!knowledge) throw new Error(`The knowledge has problems:\n${problems.map(formatProblem).join('\n')}`)
  const out = new Map<string, Uint8Array>()
  const put = (what: string, bytes: Uint8Array | string): string => {
    const packed = gzipSync(bytes, { level: 9 })
    const name = `${what}-${hash}-${createHash('sha256').update(bytes).digest('hex').slice(0, 8)}.bin`
    out.set(name, packed)
    return name
  }
  const names: LocalAssets = {
    hash,
    tables: put('tables', pack(await compile(knowledge, reasoningHashOf(files)))),
    knowledge: put('knowledge', JSON.stringify({ ...knowledge, familyOf: [...knowledge.familyOf] })),
    texts: Object.fromEntries(
      languagesOf(files).map((l) => [
        l,
        put(`texts-${l}`, JSON.stringify({ texts: textsOfLanguage(files, l), sentences: sentencesOf(l) })),
      ]),
    ),
  }
  return { names, files: out }
}

/** The conversation's own sentences come with a language's texts too. */
const sentencesOf = (language: string): unknown =>
  otherSentences().includes(language)
    ? JSON.parse(readFileSync(join(RULES, `conversation/texts/${language}.json`), 'utf8'))
    : {}

const otherSentences = () =>
  readdirSync(join(RULES, 'conversation/texts'))
    .filter((name) => /^[a-z]{2}\.json$/.test(name) && name !== 'en.json')
    .map((name) => name.slice(0, 2))

function readKnowledge(folder = join(RULES, 'knowledge')): SourceFile[] {
  return readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .map((path) => path.replaceAll('\\', '/'))
    .filter((path) => path.endsWith('.json'))
    .sort()
    .map((path) => ({ path, text: readFileSync(join(folder, path), 'utf8') }))
}

/** Stemmers of languages that have words; the package holds two dozen in one file. */
const stemmers = () =>
  new Set(
    readKnowledge(join(RULES, 'knowledge/texts'))
      .filter(({ path }) => path.endsWith('/words.json'))
      .map(({ text }) => (JSON.parse(text) as { stemmer: string }).stemmer),
  )

/**
 * What the reasoning needs on a server and not in a browser is left out of the build: the rules engine, in whose place comes
 * an evaluator that is proved equal to it, and the stemmers of languages that nobody here speaks. The conversation's sentences
 * in other languages than English are empty until they are fetched: `virtual:sentences` is where they are put.
 */
export function forBrowsers(): Plugin {
  return {
    name: 'benchlamp-for-browsers',
    enforce: 'pre',
    resolveId(id, from) {
      if (/\/engine\.ts$/.test(id) && from?.includes('/rules/')) return join(RULES, 'reasoning/evaluator.ts')
      const sentences = /^\.\/(\w+)\.json$/.exec(id)?.[1]
      if (sentences && sentences !== 'en' && from === join(RULES, 'conversation/texts/index.ts'))
        return `\0${SENTENCES}/${sentences}`
      if (id === SENTENCES || id.startsWith(`${SENTENCES}/`)) return `\0${id}`
    },
    load(id) {
      if (id.startsWith(`\0${SENTENCES}/`)) return 'export default {}'
      if (id !== `\0${SENTENCES}`) return
      const languages = otherSentences()
      const imports = languages.map((l) => `import ${l} from '${SENTENCES}/${l}'\n`).join('')
      return `${imports}export default { ${languages.join(', ')} }`
    },
    transform: {
      filter: { id: /snowball-stemmers\.js$/ },
      handler(code) {
        const kept = stemmers()
        let cut = 0
        const slim = code
          .replace(
            /\n {4}var ((?!Snowball)\w+)Stemmer = function \(_\w+\) \{\n[\s\S]*?\n {4}\}\(SnowballStemmer\);\n/g,
            (whole, name) => {
              if (kept.has(name)) return whole
              cut++
              return '\n'
            },
          )
          .replace(/\n {12}(\w+): \1Stemmer,?(?=\n)/g, (whole, name) => (kept.has(name) ? whole : ''))
        if (cut < 15) this.error('snowball-stemmers is written otherwise than before: see client/build/local.ts')
        return slim
      },
    },
  }
}
