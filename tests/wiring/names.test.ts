import { describe, expect, it } from 'vitest'
import english from '../../rules/knowledge/netlists/names.json' with { type: 'json' }
import spanish from '../../rules/knowledge/texts/es/netlists/names.json' with { type: 'json' }
import { layoutOf } from '../../rules/wiring/layouts.ts'
import { learnWiringNames, wiringNames } from '../../rules/wiring/names.ts'
import { nodesOf } from '../../rules/wiring/netlist.ts'
import { NETLIST_FAMILIES, netlistOf } from '../../rules/wiring/netlists.ts'

learnWiringNames('es', spanish.text)

describe.each(['en', 'es'])('names in %s', (language) => {
  const names = wiringNames(language)

  it.each(NETLIST_FAMILIES)('%s: every part, piece and place has one, and no two places the same', (family) => {
    const netlist = netlistOf(family)
    const nodes = [...new Set(netlist.parts.flatMap(nodesOf))]
    const pieces = layoutOf(family).pieces.map((p) => p.key)
    expect([...nodes, ...netlist.parts.map((p) => p.id), ...pieces].filter((id) => !names.knows(id))).toEqual([])
    const said = nodes.map((id) => names.node(id))
    expect(said.filter((x, i) => said.indexOf(x) !== i)).toEqual([])
    for (const id of nodes) expect(names.group(id).name).not.toBe('')
  })
})

it('the languages name the same things, with the same numbers in them', () => {
  for (const kind of ['parts', 'ends', 'nodes', 'drawn', 'groups'] as const) {
    const [en, es] = [english.text[kind] as Record<string, string>, spanish.text[kind] as Record<string, string>]
    expect(Object.keys(es).sort()).toEqual(Object.keys(en).sort())
    for (const id of Object.keys(en)) expect(es[id]!.includes('{n}'), id).toBe(en[id]!.includes('{n}'))
  }
})
