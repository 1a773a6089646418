declare module '@messageformat/core/compile-module' {
  import type MessageFormat from '@messageformat/core'
  export default function compileModule(format: MessageFormat, messages: Record<string, string>): string
}
