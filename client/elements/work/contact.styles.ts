import { css } from 'lit'

export const contactStyles = css`
  :host {
    display: grid;
    gap: 10px;
  }
  .left {
    display: flex;
    flex-wrap: wrap;
    gap: 2px 16px;
    align-items: baseline;
    font-size: 1.08em;
    overflow-wrap: anywhere;
  }
  .left a {
    color: var(--bl-act);
    display: inline-flex;
    align-items: center;
    min-block-size: 44px;
  }
  .two {
    display: grid;
    grid-template-columns: repeat(auto-fit, minmax(min(100%, 12em), 1fr));
    gap: 12px;
  }
`
