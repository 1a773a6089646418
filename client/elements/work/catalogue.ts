import type { Remedy } from './approval.ts'

/**
 * Every repair that there is, by name, from the shop's API.
 *
 * @param language what the screen reads
 * @throws where it can't be had
 */
export async function fetchRemedies(
  server: string,
  shop: string,
  pass: string | undefined,
  language: string,
): Promise<Remedy[]> {
  const url = new URL('/api/shop/catalogue', server)
  url.searchParams.set('shop', shop)
  const response = await fetch(url, {
    headers: { authorization: `Bearer ${pass ?? ''}`, 'accept-language': language },
  })
  if (!response.ok) throw new Error(`the server answered ${response.status}`)
  const { remedies } = (await response.json()) as { remedies: { id: string; name: string }[] }
  return remedies.map(({ id, name }) => ({ remedy: id, name })).sort((a, b) => a.name.localeCompare(b.name, language))
}
