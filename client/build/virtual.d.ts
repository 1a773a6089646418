declare module 'virtual:texts/en' {
  const messages: Record<string, (values?: Record<string, unknown>) => string>
  export default messages
}
declare module 'virtual:texts' {
  const fetchers: Record<
    string,
    () => Promise<{ default: Record<string, (values?: Record<string, unknown>) => string> }>
  >
  export default fetchers
}
declare module 'virtual:desk-texts/en' {
  const messages: Record<string, (values?: Record<string, unknown>) => string>
  export default messages
}
declare module 'virtual:desk-texts' {
  const fetchers: Record<
    string,
    () => Promise<{ default: Record<string, (values?: Record<string, unknown>) => string> }>
  >
  export default fetchers
}
declare module 'virtual:work-texts/en' {
  const messages: Record<string, (values?: Record<string, unknown>) => string>
  export default messages
}
declare module 'virtual:work-texts' {
  const fetchers: Record<
    string,
    () => Promise<{ default: Record<string, (values?: Record<string, unknown>) => string> }>
  >
  export default fetchers
}
declare module 'virtual:meter-texts/en' {
  const messages: Record<string, (values?: Record<string, unknown>) => string>
  export default messages
}
declare module 'virtual:meter-texts' {
  const fetchers: Record<
    string,
    () => Promise<{ default: Record<string, (values?: Record<string, unknown>) => string> }>
  >
  export default fetchers
}
declare module 'virtual:local-assets' {
  const assets: import('./local.ts').LocalAssets
  export default assets
}
declare module 'virtual:sentences' {
  const sentences: Record<string, Record<string, string>>
  export default sentences
}
/** Put in by Vite. */
interface ImportMeta {
  readonly env?: { readonly PROD?: boolean }
}
declare module 'virtual:embed-texts/en' {
  const messages: Record<string, (values?: Record<string, unknown>) => string>
  export default messages
}
declare module 'virtual:embed-texts' {
  const fetchers: Record<
    string,
    () => Promise<{ default: Record<string, (values?: Record<string, unknown>) => string> }>
  >
  export default fetchers
}
declare module 'virtual:page-texts/en' {
  const messages: Record<string, (values?: Record<string, unknown>) => string>
  export default messages
}
declare module 'virtual:page-texts' {
  const fetchers: Record<
    string,
    () => Promise<{ default: Record<string, (values?: Record<string, unknown>) => string> }>
  >
  export default fetchers
}
