import { css } from 'lit'

export const accountStyles = css`
  :host {
    font: 16px/1.4 var(--bl-font);
    color: var(--bl-ink);
  }
  .bar {
    display: flex;
    flex-wrap: wrap;
    align-items: center;
    gap: 2px 6px;
  }
  .who {
    margin-inline-end: auto;
    padding-inline-end: 10px;
  }
  .until {
    font-size: 0.9em;
  }
  .bar > :last-child {
    margin-inline-end: -10px;
  }
  a {
    display: inline-flex;
    align-items: center;
    min-block-size: 44px;
    padding-inline: 10px;
    border: 1px solid transparent;
    line-height: 1.25;
    color: var(--bl-act);
    font-weight: 640;
    font-size: 0.94em;
    text-decoration: none;
  }
  a:hover {
    text-decoration: underline;
  }
  @media (max-width: 480px) {
    .who {
      flex-basis: 100%;
      padding-inline-end: 0;
    }
    .bar {
      gap: 0 14px;
    }
    .bar :is(a, button) {
      padding-inline: 0;
      margin-inline: 0;
    }
    .acts button {
      flex: 1 1 auto;
    }
  }
  .problem {
    margin-block: 0;
  }
  label {
    display: grid;
    gap: 6px;
    font-size: 0.92em;
  }
  .said-done {
    color: var(--bl-good);
    padding: 4px 10px;
  }
  @media print {
    :host {
      display: none;
    }
  }
`
