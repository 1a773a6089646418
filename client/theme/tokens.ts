import { css } from 'lit'

/**
 * Colours, sizes and faces, as custom properties of the outermost element: a page sets its own on `bench-lamp`. Every pair
 * of ink and ground used for text holds 4.5 : 1 in both themes; borders of things to press hold 3 : 1.
 */
export const tokens = css`
  :host {
    color-scheme: light dark;
    --bl-bench: light-dark(#e6e1d5, #0d1719);
    --bl-card: light-dark(#fffdf8, #17262a);
    --bl-stub: light-dark(#f5eedf, #121e21);
    --bl-ink: light-dark(#14252b, #eff4f1);
    --bl-soft: light-dark(#4c5d62, #a6b7b8);
    --bl-line: light-dark(#ddd4c0, #2b3e43);
    --bl-edge: light-dark(#857c66, #6f868a);
    --bl-act: light-dark(#0a666d, #57c9cd);
    --bl-act-ink: light-dark(#ffffff, #04272a);
    --bl-act-soft: light-dark(#e2efee, #1b3a3d);
    --bl-lamp: light-dark(#d98200, #ffb02e);
    --bl-glow: light-dark(#ffb638, #ffbe4d);
    --bl-good: light-dark(#226742, #83d6a6);
    --bl-bad: light-dark(#a32115, #ff9d8c);
    --bl-track: light-dark(#ece5d5, #24363b);
    --bl-red-lead: light-dark(#c31c28, #ff6b6b);
    --bl-black-lead: light-dark(#1b1b1b, #d7dcdc);
    --bl-radius: 14px;
    --bl-font: 'Inter', 'Segoe UI', system-ui, -apple-system, 'Roboto', 'Noto Sans', sans-serif;
    --bl-font-numbers: ui-monospace, 'SFMono-Regular', 'Cascadia Mono', 'Roboto Mono', 'DejaVu Sans Mono', monospace;
  }
  :host([theme='light']) {
    color-scheme: light;
  }
  :host([theme='dark']) {
    color-scheme: dark;
  }
`
