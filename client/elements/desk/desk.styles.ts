import { css } from 'lit'

export const styles = css`
  :host {
    max-inline-size: 1200px;
    margin-inline: auto;
    padding: 18px clamp(10px, 2vw, 24px) 40px;
    color: var(--bl-ink);
    font: 17px/1.45 var(--bl-font);
  }
  header {
    display: flex;
    flex-wrap: wrap;
    align-items: baseline;
    gap: 4px 16px;
    margin-block-end: 16px;
  }
  h1 {
    margin: 0;
    font-size: 1.6em;
    letter-spacing: -0.014em;
  }
  form {
    display: flex;
    flex-wrap: wrap;
    gap: 10px;
    align-items: end;
    padding: 14px 16px;
    background: var(--bl-stub);
    border: 1px solid var(--bl-line);
    border-radius: var(--bl-radius);
  }
  label {
    display: grid;
    gap: 3px;
    font-size: 0.88em;
    color: var(--bl-soft);
    flex: 1 1 150px;
  }
  input,
  select,
  button {
    min-block-size: 46px;
    border: 1px solid var(--bl-edge);
    border-radius: 10px;
    background: var(--bl-card);
    color: var(--bl-ink);
    font: inherit;
    padding-inline: 12px;
    min-inline-size: 0;
    inline-size: 100%;
  }
  button {
    inline-size: auto;
    font-weight: 650;
    cursor: pointer;
  }
  button.main {
    background: var(--bl-act);
    color: var(--bl-act-ink);
    border-color: transparent;
  }
  :is(input, select, button, a):focus-visible {
    outline: 3px solid var(--bl-act);
    outline-offset: 2px;
  }
  .two {
    display: grid;
    grid-template-columns: minmax(0, 1fr) 300px;
    gap: 16px;
    margin-block-start: 16px;
    align-items: start;
  }
  .paper {
    background: var(--bl-card);
    border: 1px solid var(--bl-line);
    border-radius: var(--bl-radius);
    padding: 14px 16px;
  }
  table {
    inline-size: 100%;
    border-collapse: collapse;
  }
  th {
    text-align: start;
    font-size: 0.8em;
    color: var(--bl-soft);
    font-weight: 650;
    padding: 4px 8px;
  }
  td {
    border-block-start: 1px solid var(--bl-line);
    padding: 9px 8px;
    vertical-align: top;
  }
  td b {
    font-weight: 660;
  }
  .number {
    font-family: var(--bl-font-numbers);
    white-space: nowrap;
  }
  .soft {
    color: var(--bl-soft);
    font-size: 0.9em;
  }
  .bar {
    block-size: 8px;
    border-radius: 4px;
    background: var(--bl-track);
    margin-block: 3px 10px;
    overflow: hidden;
  }
  .bar span {
    display: block;
    block-size: 100%;
    background: var(--bl-ink);
    opacity: 0.72;
  }
  .row {
    display: flex;
    justify-content: space-between;
    gap: 10px;
  }
  .wrong {
    border-inline-start: 4px solid var(--bl-bad);
    padding: 8px 12px;
    margin-block-start: 16px;
  }
  @media (max-width: 860px) {
    .two {
      grid-template-columns: minmax(0, 1fr);
    }
    thead {
      position: absolute;
      clip-path: inset(50%);
    }
    tr {
      display: block;
      border-block-start: 1px solid var(--bl-line);
      padding-block: 8px;
    }
    td {
      display: block;
      border: 0;
      padding: 1px 0;
    }
  }
`
