/**
 * Posterior of a whole conversation against a general Bayesian-network library (`bayesjs`, exact enumeration): cause ->
 * observable -> check, the same network built twice.
 */
import { infer } from 'bayesjs'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { Learned } from '../../rules/reasoning/evidence.ts'
import { LIKE_A_KNOWN_ONE, LOOSE } from '../../rules/reasoning/hypotheses.ts'
import type { Reasoner } from '../../rules/reasoning/reasoner.ts'
import { causeProbabilities } from '../../rules/reasoning/standing.ts'
import { smallReasoner, THREE } from '../reasoning/build.ts'

type Network = Parameters<typeof infer>[0]

/** The network that the compiled tables stand for, with only the observables and checks that were answered. */
export function networkOf(r: Reasoner, answered: readonly string[]): Network {
  const c = r.compiled
  const other = c.causes.length - 1
  const known = c.causes.slice(0, -1)
  const knownWeight = known.reduce((sum, _, i) => sum + c.weights[i]!, 0)
  // "None of ours" is spread: a part like nothing in particular, the rest each a neighbour of a known cause.
  const states = [...known, 'other', ...known.map((id) => `like ${id}`)]
  const weights = [
    ...known.map((_, i) => c.weights[i]!),
    c.weights[other]! * (1 - LIKE_A_KNOWN_ONE),
    ...known.map((_, i) => (c.weights[other]! * LIKE_A_KNOWN_ONE * c.weights[i]!) / knownWeight),
  ]
  const total = weights.reduce((a, b) => a + b, 0)
  const network: Record<string, unknown> = {
    cause: {
      id: 'cause',
      states,
      parents: [],
      cpt: Object.fromEntries(states.map((id, i) => [id, weights[i]! / total])),
    },
  }
  for (const id of answered) {
    const check = c.checks[r.lookup.check.get(id)!]!
    const o = c.observables[check.observable]!
    if (o.facts.length > 0) throw new Error('only for observables that read no car fact')
    network[o.id] = {
      id: o.id,
      states: [...o.states],
      parents: ['cause'],
      cpt: states.map((cause, i) => {
        const row = (index: number, n: number) => o.table[index * o.states.length + n]!
        const p = (n: number) => (i <= other ? row(i, n) : (1 - LOOSE) * row(i - other - 1, n) + LOOSE * row(other, n))
        return { when: { cause }, then: Object.fromEntries(o.states.map((s, n) => [s, p(n)])) }
      }),
    }
    network[id] = {
      id,
      states: [...check.outcomes],
      parents: [o.id],
      cpt: o.states.map((state, s) => ({
        when: { [o.id]: state },
        then: Object.fromEntries(check.outcomes.map((x, n) => [x, check.shows[s * check.outcomes.length + n]!])),
      })),
    }
  }
  return network as Network
}

describe('the posterior of a conversation', () => {
  it('is that of bayesjs to 1e-9, whatever is answered in whatever order', async () => {
    const r = await smallReasoner({ ...THREE, otherWeight: 0.2 })
    const answer = (check: string, outcomes: string[]) =>
      fc.constantFrom(...outcomes).map((outcome): Learned => ({ kind: 'answer', check, outcome }))
    const all = fc.tuple(
      answer('listen-for-click', ['yes', 'no']),
      answer('feel-for-click', ['yes', 'no']),
      answer('lamp-on-feed', ['lit', 'dark']),
    )
    fc.assert(
      fc.property(all, fc.subarray([0, 1, 2]), (answers, which) => {
        const learned = which.map((i) => answers[i]!)
        const ours = causeProbabilities(r.stand({}, learned))
        const ids = learned.map((l) => (l.kind === 'answer' ? l.check : ''))
        const network = networkOf(r, ids)
        const given = Object.fromEntries(learned.map((l) => (l.kind === 'answer' ? [l.check, l.outcome!] : ['', ''])))
        r.compiled.causes.forEach((cause, i) => {
          const likes = cause === 'other' ? r.compiled.causes.slice(0, -1).map((id) => `like ${id}`) : []
          const theirs = [cause, ...likes].reduce((sum, state) => sum + infer(network, { cause: state }, given), 0)
          expect(Math.abs(ours[i]! - theirs)).toBeLessThan(1e-9)
        })
      }),
      { numRuns: 60 },
    )
  })
})
