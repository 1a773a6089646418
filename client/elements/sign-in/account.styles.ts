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
  a {
    display: inline-flex;
    align-items: center;
    min-block-size: 44px;
    padding-inline: 10px;
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
      padding-inline-end: 0;
    }
    a,
    .bar button {
      padding-inline: 6px;
    }
  }
  label {
    display: grid;
    gap: 3px;
    font-size: 0.92em;
  }
  .done {
    color: var(--bl-good);
    padding: 4px 10px;
  }
  @media print {
    :host {
      display: none;
    }
  }
`
