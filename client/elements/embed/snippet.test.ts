import { describe, expect, it } from 'vitest'
import { frameSnippet, originOf, scriptSnippet, type Wanted } from './snippet.ts'

const plain: Wanted = {
  server: 'https://garage.example',
  shop: 'demo',
  name: '',
  layout: 'compact',
  theme: 'auto',
  language: '',
  corners: '',
}

describe('what a dealer copies', () => {
  it('is two lines where nothing is set', () => {
    expect(scriptSnippet(plain)).toBe(
      '<script type="module" src="https://garage.example/benchlamp.js"></script>\n<bench-lamp shop="demo"></bench-lamp>\n',
    )
  })

  it('says what is set, and only that', () => {
    const snippet = scriptSnippet({
      ...plain,
      name: 'Larch Lake garage',
      theme: 'dark',
      language: 'es',
      corners: '0px',
      colour: { of: '#225588', act: ['#225588', '#a0c0f0'], ink: ['#ffffff', '#04191c'], soft: ['#eeeeff', '#202040'] },
    })
    expect(snippet).toContain('--bl-act: light-dark(#225588, #a0c0f0);')
    expect(snippet).toContain('--bl-radius: 0px;')
    expect(snippet).toContain('<bench-lamp shop="demo" name="Larch Lake garage" theme="dark" lang="es"></bench-lamp>')
  })

  it('says nothing else whatever a shop is called', () => {
    const name = '"><script>alert(1)</script>&'
    expect(scriptSnippet({ ...plain, name })).toContain('name="&quot;>&lt;script>alert(1)&lt;/script>&amp;"')
    expect(frameSnippet({ ...plain, name }, name)).not.toContain('<script')
  })

  it('in a frame says the same in its address', () => {
    const snippet = frameSnippet({ ...plain, shop: 'larch lake', theme: 'dark', layout: 'full' }, 'What is wrong?')
    expect(snippet).toContain('src="https://garage.example/frame?shop=larch+lake&amp;layout=full&amp;theme=dark"')
    expect(snippet).toContain('title="What is wrong?"')
  })
})

it.each([
  ['https://www.larch-lake.example/prices?x=1', 'https://www.larch-lake.example'],
  ['www.larch-lake.example', 'https://www.larch-lake.example'],
  ['http://localhost:3000/a', 'http://localhost:3000'],
  ['', undefined],
  ['ftp://larch-lake.example', undefined],
  ['our page', undefined],
  ['larch', undefined],
])('the origin of %s is %s', (typed, origin) => {
  expect(originOf(typed)).toBe(origin)
})
