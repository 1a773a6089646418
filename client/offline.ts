/**
 * On the server's own pages only: has the browser keep them, see service-worker.ts. Where it has no such thing (an address
 * without https, a private window) the page works as long as there is a connection.
 */
function keepPages(): void {
  navigator.serviceWorker?.register(new URL(/* @vite-ignore */ './sw.js', import.meta.url)).catch(() => undefined)
}

if (import.meta.env?.PROD) {
  const soon = globalThis.requestIdleCallback ?? ((act: () => void) => setTimeout(act, 500))
  // Not before all that the page itself needs is there.
  const later = () => soon(keepPages)
  if (document.readyState === 'complete') later()
  else addEventListener('load', later)
}
