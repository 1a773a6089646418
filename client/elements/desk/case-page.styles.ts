import { css } from 'lit'

export const casePageStyles = css`
  .back a {
    display: inline-flex;
    align-items: center;
    min-block-size: 44px;
    font-weight: 620;
    text-decoration: none;
  }
  .back a::before {
    content: '';
    inline-size: 9px;
    block-size: 9px;
    margin-inline: 3px 9px;
    border-inline-start: 2px solid;
    border-block-end: 2px solid;
    rotate: 45deg;
  }
  .head {
    display: flex;
    flex-wrap: wrap;
    justify-content: space-between;
    gap: 14px;
    background: var(--bl-stub);
    border-block-end: 2px dashed var(--bl-edge);
  }
  .head p.soft::first-letter {
    text-transform: uppercase;
  }
  .head .number {
    margin-inline-start: 8px;
    font-size: 0.8em;
    color: var(--bl-soft);
  }
  .head .acts {
    align-items: stretch;
    align-self: start;
  }
  .head h2 + p {
    margin-block-start: 3px;
  }
  .status {
    display: inline-block;
    margin-inline-end: 8px;
    padding: 0 8px;
    border: 1px solid var(--bl-edge);
    border-radius: 6px;
    color: var(--bl-ink);
    font-size: 0.88em;
    font-weight: 600;
  }
  a[href^='tel'],
  .when {
    white-space: nowrap;
  }
  a[href^='tel'] {
    display: inline-flex;
    align-items: center;
    min-block-size: 44px;
  }
  .grid {
    display: grid;
    grid-template-columns: minmax(0, 1.4fr) minmax(0, 1fr);
    gap: 14px;
    align-items: start;
  }
  .column {
    display: grid;
    gap: 14px;
    min-inline-size: 0;
  }
  h3 {
    margin-block-end: 8px;
  }
  h3.next {
    margin-block-start: 14px;
  }
  .title {
    font-size: 1.2em;
    font-weight: 680;
    line-height: 1.25;
    margin-block-end: 4px;
  }
  blockquote {
    margin: 0 0 8px;
    padding-inline-start: 14px;
    border-inline-start: 3px solid var(--bl-lamp);
    font-size: 1.06em;
    overflow-wrap: anywhere;
  }
  blockquote footer {
    color: var(--bl-soft);
    font-size: 0.82em;
  }
  :is(.lines, .trail, .ticks) > li:last-child {
    padding-block-end: 0;
  }
  blockquote:last-child {
    margin-block-end: 0;
  }
  p + .lines {
    margin-block-start: 10px;
  }
  .lines li {
    padding-block: 7px;
    border-block-start: 1px solid var(--bl-line);
    overflow-wrap: anywhere;
  }
  .lines li:first-child {
    border: 0;
    padding-block-start: 0;
  }
  .lines li > span {
    display: block;
  }
  .lines li > span.inline {
    display: inline;
  }
  .lines .soft,
  .small {
    font-size: 0.88em;
  }
  .signal {
    font-size: 0.84em;
    letter-spacing: 0.04em;
  }
  .trail li {
    position: relative;
    display: grid;
    padding: 0 0 12px 30px;
  }
  .trail li::before {
    content: '';
    position: absolute;
    inset-inline-start: 2px;
    inset-block-start: 5px;
    inline-size: 13px;
    block-size: 13px;
    box-sizing: border-box;
    border-radius: 50%;
    background: var(--bl-bench);
    border: 2px solid var(--bl-edge);
  }
  .trail li:not(:last-child)::after {
    content: '';
    position: absolute;
    inset-inline-start: 8px;
    inset-block: 20px -3px;
    inline-size: 2px;
    background: var(--bl-line);
  }
  .pairs div {
    display: flex;
    justify-content: space-between;
    gap: 14px;
    padding-block: 5px;
    border-block-start: 1px solid var(--bl-line);
  }
  .pairs div:first-child {
    border: 0;
  }
  .pairs dt {
    color: var(--bl-soft);
  }
  .pairs dd {
    text-align: end;
    font-weight: 560;
  }
  .big {
    font-size: 1.3em;
  }
  .ticks li {
    position: relative;
    display: flex;
    flex-wrap: wrap;
    justify-content: space-between;
    gap: 0 12px;
    padding-block: 6px;
    padding-inline-start: 30px;
    border-block-start: 1px solid var(--bl-line);
  }
  .ticks li::before {
    content: '';
    position: absolute;
    inset-inline-start: 2px;
    inset-block-start: 9px;
    inline-size: 16px;
    block-size: 16px;
    box-sizing: border-box;
    border: 2px solid var(--bl-edge);
    border-radius: 3px;
  }
  .ticks .done::after {
    content: '';
    position: absolute;
    inset-inline-start: 8px;
    inset-block-start: 10px;
    inline-size: 5px;
    block-size: 10px;
    border: solid var(--bl-good);
    border-width: 0 3px 3px 0;
    rotate: 40deg;
  }
  .signed {
    margin-block-start: 10px;
  }
  @media (max-width: 440px) {
    .head .acts {
      align-self: stretch;
      inline-size: 100%;
    }
    .head .acts > * {
      flex: 1;
      justify-content: center;
    }
    .head .acts > .main {
      flex-basis: 100%;
    }
  }
  @media (max-width: 860px) {
    .grid {
      grid-template-columns: minmax(0, 1fr);
    }
  }
`
