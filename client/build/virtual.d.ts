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
