import type { Plugin } from 'vite'

/**
 * Drops what people need in our styles and templates and browsers do not: comments in CSS, and indentation. Line breaks
 * stay, so that scripts mean the same.
 */
export function slim(): Plugin {
  return {
    name: 'benchlamp-slim',
    apply: 'build',
    enforce: 'pre',
    transform: {
      filter: { id: /client\/(elements|theme)\/.*\.ts$/ },
      handler: (code) => code.replace(/\n\s*\/\*(?!\*)[^`]*?\*\//g, '\n').replace(/\n\s+/g, '\n'),
    },
  }
}
