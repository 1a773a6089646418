import { css } from 'lit'

export const findingStyles = css`
  article {
    padding: 20px var(--bl-pad, 20px) 22px;
    display: grid;
    gap: 18px;
  }
  .kicker {
    display: flex;
    gap: 10px;
    align-items: center;
    flex-wrap: wrap;
    margin-block-end: 7px;
  }
  .stamp {
    border: 2px solid currentColor;
    border-radius: 6px;
    padding: 1px 9px;
    font-weight: 760;
    letter-spacing: 0.07em;
    text-transform: uppercase;
    font-size: 0.84em;
    color: var(--bl-good);
    transform: rotate(-1.6deg);
  }
  .stamp.unsure {
    color: var(--bl-soft);
  }
  .say {
    margin-block-start: 10px;
    font-size: 1.08em;
    max-inline-size: 62ch;
    text-wrap: pretty;
  }
  section > h3 {
    margin-block-end: 7px;
  }
  .evidence li {
    display: grid;
    grid-template-columns: 8.2em minmax(0, 1fr);
    gap: 2px 14px;
    padding-block: 8px;
    border-block-start: 1px solid var(--bl-line);
    align-items: baseline;
  }
  .weight {
    font-size: 0.86em;
    color: var(--bl-soft);
  }
  .weight::before {
    content: '';
    display: inline-block;
    inline-size: 10px;
    block-size: 10px;
    border-radius: 50%;
    margin-inline-end: 7px;
    border: 2px solid var(--bl-soft);
  }
  .strong .weight::before {
    background: var(--bl-lamp);
    border-color: var(--bl-lamp);
  }
  .strong .weight {
    color: var(--bl-ink);
    font-weight: 620;
  }
  .against .weight::before {
    border-color: var(--bl-bad);
    border-radius: 1px;
    transform: rotate(45deg) scale(0.85);
  }
  .against .weight {
    color: var(--bl-bad);
  }
  .evidence b {
    font-weight: 650;
  }
  .causes li,
  .roots li {
    padding-block: 4px;
  }
  .causes li {
    display: flex;
    justify-content: space-between;
    gap: 14px;
  }
  .remedy {
    border: 1px solid var(--bl-line);
    border-radius: 12px;
    background: var(--bl-stub);
    --bl-card: var(--bl-stub);
    overflow: clip;
  }
  .remedy > div {
    padding: 14px 16px;
  }
  .remedy h4 {
    font-size: 1.2em;
    line-height: 1.25;
    font-weight: 680;
  }
  .facts {
    display: flex;
    flex-wrap: wrap;
    gap: 5px 22px;
    margin-block: 9px 12px;
  }
  .facts dt {
    font-size: 0.84em;
    color: var(--bl-soft);
  }
  .facts dd {
    font-weight: 640;
  }
  .steps {
    counter-reset: s;
    display: grid;
    gap: 7px;
  }
  .steps li {
    counter-increment: s;
    padding-inline-start: 28px;
    position: relative;
  }
  .steps li::before {
    content: counter(s) '.';
    position: absolute;
    inset-inline-start: 0;
    inline-size: 19px;
    text-align: end;
    color: var(--bl-soft);
    font-weight: 640;
  }
  .proof {
    margin-block-start: 12px;
    padding-inline-start: 13px;
    border-inline-start: 4px solid var(--bl-good);
  }
  .proof b {
    color: var(--bl-good);
  }
  bl-caution {
    --bl-pad: 16px;
  }
  .do {
    display: grid;
    gap: 9px;
  }
  .do button {
    inline-size: 100%;
    min-block-size: 52px;
    font-weight: 640;
    color: var(--bl-act);
    border: 1.5px solid var(--bl-act);
  }
  .tools {
    display: flex;
    flex-wrap: wrap;
    gap: 8px;
  }
  .done {
    color: var(--bl-good);
    font-weight: 640;
  }
  @container (max-width: 560px) {
    .evidence li {
      grid-template-columns: minmax(0, 1fr);
    }
    .do {
      position: sticky;
      inset-block-end: 0;
      z-index: 2;
      background: var(--bl-card);
      margin-inline: calc(-1 * var(--bl-pad, 20px));
      padding: 12px var(--bl-pad, 20px) calc(12px + env(safe-area-inset-bottom, 0px));
      margin-block-end: -22px;
      border-block-start: 1px solid var(--bl-line);
      border-radius: 0 0 var(--bl-radius) var(--bl-radius);
    }
  }
  /* Zoomed far in nothing may cover what is read. */
  @media (max-height: 420px) {
    .do {
      position: static !important;
    }
  }
  @media print {
    article {
      padding: 0;
    }
    .remedy {
      background: none;
    }
  }
`
