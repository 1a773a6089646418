import { createHash } from 'node:crypto'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import type { Plugin, Rolldown } from 'vite'

const WORKER = 'sw.js'
/** The counter and the bench page: all that their scripts come to need is kept. */
const PAGES = ['index.html', 'bench.html']
/** From the public folder. */
const PUBLIC = ['icon.svg']
/** Parts of other pages; and the reasoning for the page's own thread, which has a worker of it here. */
const ELSEWHERE = /\/client\/(elements\/desk\/|local\/shop\.ts)/

/** Writes into the service worker what it has to keep of this build, and a version that changes with any of it. */
export function offline(publicFolder: string): Plugin {
  return {
    name: 'benchlamp-offline',
    apply: 'build',
    enforce: 'post',
    generateBundle: {
      order: 'post',
      handler(_options, bundle) {
        const worker = bundle[WORKER]
        if (worker?.type !== 'chunk') return
        if (worker.imports.length > 0 || worker.exports.length > 0)
          this.error('The service worker has to be one file that imports nothing')
        const languages: Record<string, string[]> = {}
        const files = new Set<string>([...PAGES, ...PUBLIC])
        const visit = (name: string) => {
          const chunk = bundle[name]
          if (files.has(name) || chunk?.type !== 'chunk' || ELSEWHERE.test(chunk.facadeModuleId ?? '')) return
          const language = /virtual:[\w-]*texts\/(\w+)$/.exec(chunk.facadeModuleId ?? '')?.[1]
          if (language) {
            languages[language] = [...(languages[language] ?? []), name]
            return
          }
          files.add(name)
          for (const css of stylesOf(chunk)) files.add(css)
          for (const next of [...chunk.imports, ...chunk.dynamicImports]) visit(next)
        }
        for (const page of PAGES) {
          const html = String(contentOf(bundle[page], publicFolder, page))
          for (const [, script] of html.matchAll(/<script[^>]+src="\.\/([\w./-]+)"/g)) visit(script!)
        }
        for (const name of Object.keys(bundle)) {
          const language = /^assets\/texts-(\w+)-[^/]*\.bin$/.exec(name)?.[1]
          if (language) languages[language] = [...(languages[language] ?? []), name]
          else if (/^assets\/(worker-.*\.js|(tables|knowledge)-.*\.bin|pages-.*\.css)$/.test(name)) files.add(name)
        }
        for (const name of [...files].filter((name) => !PUBLIC.includes(name)))
          if (!bundle[name]) this.error(`The service worker is to keep ${name}, which is not built`)
        const hash = createHash('sha256')
        for (const name of [...files].sort())
          hash.update(`${name}\0`).update(contentOf(bundle[name], publicFolder, name))
        const kept = { version: hash.digest('hex').slice(0, 12), files: [...files].sort(), languages }
        worker.code = worker.code.replaceAll('__KEPT__', JSON.stringify(kept))
      },
    },
  }
}

const stylesOf = (chunk: Rolldown.OutputChunk): string[] => [
  ...((chunk as { viteMetadata?: { importedCss?: Set<string> } }).viteMetadata?.importedCss ?? []),
]

function contentOf(output: Rolldown.OutputBundle[string] | undefined, publicFolder: string, name: string) {
  if (!output) return readFileSync(join(publicFolder, name))
  return output.type === 'chunk' ? output.code : output.source
}
