import { readdirSync, readFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import MessageFormat from '@messageformat/core'
import compileModule from '@messageformat/core/compile-module'
import type { Plugin } from 'vite'

/** Shipped with the script itself; all others are fetched. */
const FALLBACK = 'en'

/**
 * Turns `texts/<language>.json` (ICU messages) into small functions when the client is built, so that no message parser
 * is shipped. `virtual:texts/<language>` is one language; `virtual:texts` says how to fetch each of them: a language is
 * added by adding its file. Another folder of texts goes by another name than `virtual:texts`.
 */
export function messages(folder: string, prefix = 'virtual:texts'): Plugin {
  const languages = () =>
    readdirSync(folder)
      .filter((f) => f.endsWith('.json'))
      .map((f) => basename(f, '.json'))
  return {
    name: `benchlamp-messages ${prefix}`,
    resolveId: (id) => (id === prefix || id.startsWith(`${prefix}/`) ? `\0${id}` : undefined),
    load(id) {
      if (id !== `\0${prefix}` && !id.startsWith(`\0${prefix}/`)) return
      const language = id.slice(prefix.length + 2)
      if (language === '') {
        const fetchers = languages()
          .filter((l) => l !== FALLBACK)
          .map((l) => `${JSON.stringify(l)}: () => import('${prefix}/${l}')`)
        return `export default {${fetchers.join(', ')}}`
      }
      const file = join(folder, `${language}.json`)
      this.addWatchFile(file)
      return compileModule(new MessageFormat(language), JSON.parse(readFileSync(file, 'utf8')))
    },
  }
}
