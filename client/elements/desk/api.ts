/** What the desk reads of the server's shop API; described in rules/record/README.md. */
export interface ListedCase {
  case: string
  code: string
  status: 'open' | 'closed'
  tag?: string
  openedAt: string
  complaints: { id: string; name: string }[]
  causes: { id: string; name: string }[]
  minutesToFinding?: number
  charged?: number
  earlierVisits: number
}

export interface Counts {
  cases: number
  open: number
  closed: number
  cameBack: number
  byCause: { id: string; name: string; count: number }[]
  minutesToFinding: { cases: number; median: number } | null
}

/** A refusal of the server, with what to do. */
export class DeskError extends Error {
  constructor(
    text: string,
    readonly mend: string,
  ) {
    super(text)
  }
}

export class DeskApi {
  constructor(
    private readonly pass: string,
    private readonly shop: string,
  ) {}

  cases(search: Record<string, string>): Promise<{ total: number; cases: ListedCase[] }> {
    return this.read('cases', { ...search, limit: '200' })
  }

  counts(search: Record<string, string>): Promise<Counts> {
    return this.read('counts', search)
  }

  async csv(search: Record<string, string>): Promise<Blob> {
    return (await this.get('cases.csv', search)).blob()
  }

  private async read<T>(path: string, search: Record<string, string>): Promise<T> {
    return (await (await this.get(path, search)).json()) as T
  }

  private async get(path: string, search: Record<string, string>): Promise<Response> {
    const query = new URLSearchParams({ shop: this.shop, ...search })
    let response: Response
    try {
      response = await fetch(`/api/shop/${path}?${query}`, { headers: { authorization: `Bearer ${this.pass}` } })
    } catch {
      throw new DeskError('The server does not answer.', 'Look whether it runs, then search again.')
    }
    if (response.ok) return response
    const said = (await response.json().catch(() => ({}))) as { text?: string; mend?: string }
    throw new DeskError(said.text ?? `The server answered ${response.status}.`, said.mend ?? 'Try again.')
  }
}
