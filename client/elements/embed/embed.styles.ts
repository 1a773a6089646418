import { css } from 'lit'

export const embedStyles = css`
  :host {
    font-family: var(--bl-font);
    font-size: 1.0625rem;
    line-height: 1.45;
    color: var(--bl-ink);
    padding: clamp(12px, 3vw, 34px);
    max-inline-size: 1320px;
    margin-inline: auto;
  }
  header {
    display: flex;
    flex-wrap: wrap;
    gap: 8px 24px;
    align-items: center;
    justify-content: space-between;
    margin-block-end: 20px;
  }
  h1 {
    margin: 0;
    font-size: 1.65em;
    line-height: 1.15;
    font-weight: 700;
    letter-spacing: -0.014em;
    display: flex;
    gap: 14px;
    align-items: center;
  }
  h1 bl-mark {
    inline-size: 32px;
    flex: none;
  }
  h1 small {
    display: block;
    font-size: 0.6em;
    font-weight: 400;
    letter-spacing: 0;
    line-height: 1.4;
    color: var(--bl-soft);
  }
  h2 {
    font-size: 1.2em;
    margin-block-end: 8px;
  }
  a {
    color: var(--bl-act);
  }
  header a {
    display: inline-flex;
    align-items: center;
    min-block-size: 44px;
    font-weight: 640;
  }
  .grid {
    display: grid;
    gap: 18px;
    grid-template-columns: minmax(0, 1fr) minmax(0, 1.35fr);
    align-items: start;
  }
  .paper {
    background: var(--bl-card);
    border: 1px solid var(--bl-line);
    border-radius: var(--bl-radius);
    padding: 18px 20px 20px;
    min-inline-size: 0;
    grid-column: 1;
  }
  .paper.all {
    grid-column: 1 / -1;
  }
  .preview {
    grid-column: 2;
    grid-row: 1 / span 5;
    position: sticky;
    inset-block-start: 14px;
    min-inline-size: 0;
  }
  .stage {
    margin-block-start: 12px;
    container-type: inline-size;
  }
  form {
    display: grid;
    gap: 15px;
  }
  label,
  .field {
    display: grid;
    gap: 4px;
    font-size: 0.94em;
    font-weight: 620;
  }
  label :is(input, select) {
    font-weight: 400;
    font-size: 1.06em;
  }
  small {
    font-weight: 400;
    font-size: 0.94em;
    color: var(--bl-soft);
  }
  small:empty {
    display: none;
  }
  .bad {
    color: var(--bl-bad);
    font-weight: 600;
  }
  .good {
    color: var(--bl-good);
    font-weight: 620;
  }
  [aria-invalid='true'] {
    border-color: var(--bl-bad);
    border-width: 2px;
  }
  .pair {
    display: grid;
    grid-template-columns: minmax(0, 1fr) 56px;
    gap: 8px;
  }
  .pair input {
    font-family: var(--bl-font-numbers);
    font-weight: 500;
  }
  .pair input[type='color'] {
    padding: 4px;
    cursor: pointer;
  }
  legend {
    padding: 0;
    margin-block-end: 5px;
    font-size: 0.94em;
    font-weight: 620;
    letter-spacing: 0;
    text-transform: none;
    color: inherit;
  }
  .choices {
    display: flex;
    flex-wrap: wrap;
    gap: 7px;
  }
  .choice {
    display: flex;
    align-items: center;
    gap: 9px;
    min-block-size: 44px;
    padding-block: 6px;
    padding-inline: 11px 14px;
    border: 1px solid var(--bl-edge);
    border-radius: 10px;
    font-weight: 400;
    cursor: pointer;
  }
  .choice input {
    inline-size: 18px;
    block-size: 18px;
    min-block-size: 0;
    flex: none;
    accent-color: var(--bl-act);
    padding: 0;
  }
  .choice:has(:checked) {
    border-color: var(--bl-act);
    background: var(--bl-act-soft);
    font-weight: 620;
  }
  .choice:focus-within {
    outline: 3px solid var(--bl-act);
    outline-offset: 2px;
  }
  .choice input:focus-visible {
    outline: none;
  }
  .acts {
    display: flex;
    flex-wrap: wrap;
    gap: 6px 14px;
    align-items: center;
  }
  .field .acts button {
    margin-inline-start: -10px;
  }
  textarea,
  pre {
    font-family: var(--bl-font-numbers);
    font-size: 0.84em;
    line-height: 1.5;
    background: var(--bl-stub);
  }
  textarea {
    margin-block: 10px;
    overflow-wrap: anywhere;
    field-sizing: content;
    white-space: pre-wrap;
  }
  pre {
    margin: 8px 0 0;
    padding: 10px 13px;
    border: 1px solid var(--bl-line);
    border-radius: 10px;
    white-space: pre-wrap;
    overflow-wrap: anywhere;
  }
  code {
    font-family: var(--bl-font-numbers);
    overflow-wrap: anywhere;
  }
  [role='status'] > p {
    margin-block-start: 8px;
    overflow-wrap: anywhere;
  }
  .paper > .main {
    margin-block-start: 10px;
  }
  .paper > p.soft {
    margin-block-start: 8px;
  }
  .paper > h2 + p.soft {
    margin-block: 0 10px;
  }
  @media (max-width: 900px) {
    .grid {
      grid-template-columns: minmax(0, 1fr);
    }
    .preview {
      grid-column: 1;
      grid-row: auto;
      position: static;
    }
  }
`
