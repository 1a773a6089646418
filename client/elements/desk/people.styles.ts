import { css } from 'lit'

export const peopleStyles = css`
  .people li {
    display: grid;
    grid-template-columns: minmax(180px, 1fr) auto;
    gap: 8px 16px;
    align-items: center;
    padding-block: 12px;
    border-block-start: 1px solid var(--bl-line);
  }
  .people li:first-child {
    border: 0;
  }
  .who {
    display: grid;
  }
  .left b {
    color: var(--bl-soft);
    font-weight: 500;
  }
  .mark {
    color: var(--bl-bad);
    font-weight: 620;
  }
  .set {
    grid-column: 1 / -1;
    display: flex;
    flex-wrap: wrap;
    gap: 12px;
    align-items: center;
    padding: 12px;
    background: var(--bl-stub);
    border-radius: 10px;
  }
  .set label {
    flex: 1 1 240px;
  }
  @media (max-width: 720px) {
    .people li {
      grid-template-columns: minmax(0, 1fr);
    }
  }
`
