import type { Page } from 'playwright-core'

/** Every part is fetched and drawn; as text, since what runs this may add helpers of its own to functions. */
const WHOLE = `(function whole(root) {
  return [...root.querySelectorAll('*')].every((e) => !e.localName.includes('-') ||
    (e.matches(':defined') && (!e.shadowRoot || (!e.isUpdatePending && whole(e.shadowRoot)))))
})(document)`

/** Takes a page through states of the gallery, loading it once. @param url with a query, without a hash */
export async function* eachState<S extends { name: string }>(
  page: Page,
  url: string,
  states: readonly S[],
): AsyncGenerator<S> {
  for (const [i, state] of states.entries()) {
    if (i === 0) await page.goto(`${url}#${state.name}`)
    else await page.evaluate(`location.hash = ${JSON.stringify(state.name)}`)
    await until(page, `document.body.dataset.ready === ${JSON.stringify(state.name)} && ${WHOLE}`)
    yield state
  }
}

/** By asking again: the page's own policy forbids what playwright's waiting needs to be told a text. */
async function until(page: Page, holds: string): Promise<void> {
  const end = Date.now() + 30_000
  while (!(await page.evaluate(holds))) {
    if (Date.now() > end) throw new Error(`Not within 30 s: ${holds}`)
    await page.waitForTimeout(20)
  }
}
