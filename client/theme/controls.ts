import { css } from 'lit'

/** What every part shares: box model, headings, things to press, fields, the line that says what went wrong. */
export const controls = css`
  *,
  *::before,
  *::after {
    box-sizing: border-box;
  }
  :host {
    display: block;
  }
  :host([hidden]),
  [hidden] {
    display: none !important;
  }
  h2,
  h3,
  h4,
  p,
  ul,
  ol,
  dl,
  dd,
  figure,
  fieldset {
    margin: 0;
    padding: 0;
    border: 0;
  }
  ul,
  ol {
    list-style: none;
  }
  h2 {
    font-size: 1.58em;
    line-height: 1.18;
    font-weight: 690;
    letter-spacing: -0.014em;
    text-wrap: balance;
    overflow-wrap: anywhere;
  }
  h2:focus {
    outline: none;
  }
  h3,
  .label,
  legend {
    font-size: 0.76em;
    line-height: 1.3;
    font-weight: 680;
    letter-spacing: 0.085em;
    text-transform: uppercase;
    color: var(--bl-soft);
  }
  h3 {
    text-wrap: balance;
  }
  p,
  li,
  dd,
  td {
    text-wrap: pretty;
  }
  .firm {
    white-space: nowrap;
  }
  .soft {
    color: var(--bl-soft);
  }
  .number {
    font-family: var(--bl-font-numbers);
    font-variant-numeric: tabular-nums;
    font-weight: 600;
  }
  button,
  input,
  select,
  textarea {
    font: inherit;
    letter-spacing: inherit;
    color: inherit;
    margin: 0;
  }
  button,
  summary {
    cursor: pointer;
    touch-action: manipulation;
    -webkit-tap-highlight-color: transparent;
  }
  button {
    min-block-size: 44px;
    min-inline-size: 44px;
    border-radius: 10px;
    border: 1px solid var(--bl-edge);
    background: var(--bl-card);
    padding: 6px 15px;
    font-size: 0.94em;
    line-height: 1.25;
    text-wrap: balance;
  }
  button.quiet {
    border-color: transparent;
    background: none;
    color: var(--bl-act);
    font-weight: 640;
    padding-inline: 10px;
  }
  button.main {
    border: 0;
    background: var(--bl-act);
    color: var(--bl-act-ink);
    font-weight: 670;
    font-size: 1.04em;
    min-block-size: 54px;
    padding-inline: 24px;
    border-radius: 12px;
  }
  button[aria-disabled='true'] {
    opacity: 0.62;
    cursor: default;
  }
  @media (hover: hover) {
    button:not([aria-disabled='true']):hover {
      background: var(--bl-act-soft);
      border-color: var(--bl-act);
    }
    button.main:not([aria-disabled='true']):hover {
      background: color-mix(in oklab, var(--bl-act), var(--bl-ink) 18%);
    }
  }
  input,
  select,
  textarea {
    min-block-size: 48px;
    inline-size: 100%;
    min-inline-size: 0;
    border: 1.5px solid var(--bl-edge);
    border-radius: 10px;
    background: var(--bl-card);
    padding: 8px 13px;
    font-size: 1em;
  }
  select {
    appearance: none;
    padding-inline-end: 34px;
    text-overflow: ellipsis;
    background:
      linear-gradient(45deg, #0000 50%, var(--bl-act) 0) right 18px center / 6px 6px no-repeat,
      linear-gradient(-45deg, #0000 50%, var(--bl-act) 0) right 12px center / 6px 6px no-repeat var(--bl-card);
  }
  select:dir(rtl) {
    background-position-x: 12px, 18px;
  }
  textarea {
    resize: vertical;
    line-height: 1.4;
  }
  ::placeholder {
    color: var(--bl-soft);
    opacity: 1;
  }
  :focus-visible {
    outline: 3px solid var(--bl-act);
    outline-offset: 2px;
  }
  .problem {
    display: grid;
    gap: 2px;
    margin-block: 10px;
    padding: 9px 13px;
    border-inline-start: 4px solid var(--bl-bad);
    border-radius: 10px;
    border-start-start-radius: 4px;
    border-end-start-radius: 4px;
    background: color-mix(in oklab, var(--bl-bad) 9%, var(--bl-card));
    font-size: 0.95em;
  }
  .problem b {
    color: var(--bl-bad);
    font-weight: 660;
  }
  .hidden {
    position: absolute;
    inline-size: 1px;
    block-size: 1px;
    overflow: hidden;
    clip-path: inset(50%);
    white-space: nowrap;
  }
  details > summary {
    list-style: none;
    min-block-size: 44px;
    display: flex;
    align-items: center;
    gap: 8px;
  }
  summary::-webkit-details-marker {
    display: none;
  }
  summary::before {
    content: '';
    inline-size: 0.5em;
    block-size: 0.5em;
    border: solid var(--bl-act);
    border-width: 0 2px 2px 0;
    transform: translate(-3px) rotate(-45deg);
    margin-inline: 1px 2px;
    flex: none;
    transition: transform 0.15s;
  }
  summary:dir(rtl)::before {
    transform: translate(3px) rotate(135deg);
  }
  details[open] > summary::before {
    transform: rotate(45deg) translate(-2px, -2px);
  }
  @media (prefers-reduced-motion: reduce) {
    *,
    *::before,
    *::after {
      animation: none !important;
      transition: none !important;
    }
  }
  @media (forced-colors: active) {
    button.main {
      border: 2px solid ButtonText;
    }
    select {
      appearance: auto;
    }
  }
  @media print {
    button,
    input,
    textarea,
    .no-print {
      display: none !important;
    }
  }
`
