import { resolve } from 'node:path'
import { defineConfig, type Plugin } from 'vite'
import { forBrowsers, localAssets } from './build/local.ts'
import { messages } from './build/messages.ts'
import { offline } from './build/offline.ts'
import { slim } from './build/slim.ts'

const here = import.meta.dirname

/** Pages name `benchlamp.js` as everybody else's do; while developing it is made from its source. */
const scriptsByName: Plugin = {
  name: 'benchlamp-scripts-by-name',
  configureServer(server) {
    server.middlewares.use((request, _response, next) => {
      request.url = request.url?.replace(
        /^\/(benchlamp|bench|counter|frame|gallery|language|offline)\.js(?=$|\?)/,
        '/$1.ts',
      )
      next()
    })
  },
}

/**
 * `benchlamp.js` keeps its name, since other people's pages name it in a script tag; whatever it imports later carries a
 * hash and is looked for beside it. Pages and parts refer to each other relatively, so that the folder may stand anywhere.
 */
export default defineConfig({
  root: here,
  base: './',
  // convert-units looks for Node's name of it.
  define: { global: 'globalThis' },
  plugins: [
    messages(resolve(here, 'texts')),
    messages(resolve(here, 'texts/work'), 'virtual:work-texts'),
    messages(resolve(here, 'texts/desk'), 'virtual:desk-texts'),
    messages(resolve(here, 'texts/meter'), 'virtual:meter-texts'),
    messages(resolve(here, 'texts/embed'), 'virtual:embed-texts'),
    messages(resolve(here, 'texts/pages'), 'virtual:page-texts'),
    slim(),
    scriptsByName,
    localAssets(),
    forBrowsers(),
    offline(resolve(here, 'public')),
  ],
  // The reasoning of local mode; the page's own thread gets a copy of it that nobody fetches who may have a worker.
  worker: {
    format: 'es',
    plugins: () => [localAssets(), forBrowsers()],
    rolldownOptions: {
      output: { entryFileNames: 'assets/[name]-[hash].js', chunkFileNames: 'assets/[name]-[hash].js' },
    },
  },
  build: {
    target: 'es2022',
    outDir: 'dist',
    emptyOutDir: true,
    modulePreload: false,
    rolldownOptions: {
      // Whoever starts the server need not read how long the knowledge takes to be written into the pages.
      checks: { pluginTimings: false },
      // What the later parts share with the script they take from it, so that the first question is one file.
      preserveEntrySignatures: 'allow-extension',
      input: {
        benchlamp: resolve(here, 'benchlamp.ts'),
        bench: resolve(here, 'bench.ts'),
        counter: resolve(here, 'counter.ts'),
        frame: resolve(here, 'frame.ts'),
        gallery: resolve(here, 'gallery.ts'),
        language: resolve(here, 'language.ts'),
        offline: resolve(here, 'offline.ts'),
        sw: resolve(here, 'service-worker.ts'),
        'page-counter': resolve(here, 'index.html'),
        'page-bench': resolve(here, 'bench.html'),
        'page-desk': resolve(here, 'desk.html'),
        'page-work-order': resolve(here, 'work-order.html'),
        'page-embed': resolve(here, 'embed.html'),
        'page-frame': resolve(here, 'frame.html'),
        'page-gallery': resolve(here, 'gallery.html'),
      },
      output: {
        entryFileNames: (chunk) => (chunk.name.startsWith('page-') ? 'assets/[name]-[hash].js' : '[name].js'),
        chunkFileNames: 'assets/[name]-[hash].js',
        assetFileNames: 'assets/[name]-[hash][extname]',
      },
    },
  },
})
