/**
 * The shop's own colour for what is pressed. Only its hue and strength are taken: how light it is follows the theme, so
 * that text on it and beside it can be read whatever colour the shop has.
 */
export function wearColour(element: HTMLElement, colour: string | undefined): void {
  const can = CSS.supports('color', 'oklch(from red l c h)')
  if (!can || !colour || !/^#[0-9a-f]{6}$/i.test(colour)) {
    for (const name of ['--bl-act', '--bl-act-ink', '--bl-act-soft']) element.style.removeProperty(name)
    return
  }
  const at = (l: string, c = 'c') => `oklch(from ${colour} ${l} ${c} h)`
  const set = (name: string, light: string, dark: string) =>
    element.style.setProperty(name, `light-dark(${light}, ${dark})`)
  set('--bl-act', at('min(l, 0.48)'), at('max(l, 0.8)', 'min(c, 0.13)'))
  set('--bl-act-ink', '#fff', '#04191c')
  set('--bl-act-soft', at('0.95', 'min(c, 0.03)'), at('0.33', 'min(c, 0.04)'))
}
