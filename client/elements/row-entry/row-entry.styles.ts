import { css } from 'lit'

export const rowEntryStyles = css`
  form {
    display: grid;
    gap: 12px;
  }
  .rows {
    border: 1px solid var(--bl-line);
    border-radius: 12px;
    overflow: clip;
  }
  .rows > div {
    display: grid;
    grid-template-columns: minmax(0, 1fr) minmax(0, auto);
    gap: 6px 14px;
    align-items: center;
    padding: 7px 14px;
  }
  .rows > div + div {
    border-block-start: 1px solid var(--bl-line);
  }
  .rows > div:nth-child(even) {
    background: var(--bl-stub);
  }
  .rows > div.bad {
    box-shadow: inset 4px 0 var(--bl-bad);
  }
  .title {
    font-weight: 560;
    line-height: 1.25;
  }
  .entry {
    display: flex;
    gap: 7px;
    align-items: center;
    justify-content: flex-end;
    flex-wrap: wrap;
  }
  .entry input {
    inline-size: 6.2em;
    text-align: end;
    font-family: var(--bl-font-numbers);
    font-weight: 600;
    font-size: 1.15em;
    min-block-size: 46px;
  }
  .unit {
    inline-size: 1.9em;
    color: var(--bl-soft);
    font-family: var(--bl-font-numbers);
    font-weight: 600;
  }
  .entry button {
    border-color: var(--bl-edge);
  }
  .entry button[aria-pressed='true'] {
    background: var(--bl-act);
    border-color: var(--bl-act);
    color: var(--bl-act-ink);
    font-weight: 660;
  }
  @media (forced-colors: active) {
    .entry button[aria-pressed='true'] {
      background: Highlight;
      color: HighlightText;
    }
  }
  .soft {
    font-size: 0.92em;
  }
  .main {
    inline-size: 100%;
  }
  @container (max-width: 460px) {
    .rows > div.choice {
      grid-template-columns: minmax(0, 1fr);
    }
    .choice .entry {
      display: grid;
      grid-auto-flow: column;
      grid-auto-columns: 1fr;
    }
  }
`
