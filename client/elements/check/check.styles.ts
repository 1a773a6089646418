import { css } from 'lit'

export const checkStyles = css`
  :host {
    display: flex;
    flex-direction: column;
    flex: 1;
    min-inline-size: 0;
  }
  .read {
    padding: 20px var(--bl-pad, 20px) 14px;
    flex: 1;
  }
  .why {
    color: var(--bl-soft);
    font-size: 0.92em;
    margin-block-end: 7px;
    display: flex;
    gap: 4px 10px;
    flex-wrap: wrap;
    align-items: baseline;
  }
  .tag {
    font-weight: 680;
    color: var(--bl-ink);
    border-block-end: 2px solid var(--bl-lamp);
  }
  .hint {
    color: var(--bl-soft);
    margin-block-start: 7px;
  }
  .set-up {
    margin-block-start: 16px;
    border: 1.5px dashed var(--bl-lamp);
    border-radius: 12px;
    padding: 11px 15px 12px;
    background: color-mix(in oklab, var(--bl-lamp) 7%, var(--bl-card));
  }
  .set-up li {
    position: relative;
    padding-inline-start: 24px;
    margin-block-start: 6px;
    font-weight: 600;
  }
  .set-up li::before {
    content: '';
    position: absolute;
    inset-inline-start: 1px;
    inset-block-start: 0.27em;
    inline-size: 13px;
    block-size: 13px;
    border: 2px solid var(--bl-lamp);
    border-radius: 3px;
  }
  .set-up button {
    margin-block-start: 10px;
  }
  .how {
    counter-reset: step;
    margin-block-start: 15px;
    display: grid;
    gap: 8px;
    max-inline-size: 62ch;
  }
  .how li {
    counter-increment: step;
    position: relative;
    padding-inline-start: 29px;
    line-height: 1.42;
  }
  .how li::before {
    content: counter(step) '.';
    position: absolute;
    inset-inline-start: 0;
    inline-size: 20px;
    text-align: end;
    color: var(--bl-soft);
    font-variant-numeric: tabular-nums;
    font-weight: 640;
  }
  .how.one li {
    padding-inline-start: 0;
  }
  .how.one li::before {
    content: none;
  }
  .figures {
    display: grid;
    grid-template-columns: repeat(auto-fit, minmax(min(100%, 14em), 1fr));
    gap: 12px;
    margin-block-start: 16px;
    align-items: stretch;
  }
  .drawn {
    display: grid;
    gap: 12px;
    padding: 0 var(--bl-pad, 20px) 18px;
  }
  .figures > :only-child {
    max-inline-size: 34em;
  }
  .leads {
    display: grid;
    grid-template-columns: auto auto minmax(0, 1fr);
    column-gap: 10px;
    align-content: space-evenly;
    border: 1px solid var(--bl-line);
    border-radius: 12px;
    background: var(--bl-stub);
    padding: 4px 15px;
  }
  .leads > div {
    display: grid;
    grid-column: 1 / -1;
    grid-template-columns: subgrid;
    align-items: center;
    padding-block: 9px;
  }
  .leads > div + div {
    border-block-start: 1px solid var(--bl-line);
  }
  .leads svg {
    inline-size: 48px;
    block-size: 16px;
  }
  :dir(rtl) .leads svg {
    transform: scaleX(-1);
  }
  .leads dt {
    font-size: 0.9em;
    color: var(--bl-soft);
    line-height: 1.2;
  }
  .leads dd {
    font-weight: 660;
    overflow-wrap: anywhere;
  }
  .red {
    color: var(--bl-red-lead);
  }
  .black {
    color: var(--bl-black-lead);
  }
  .good {
    margin-block-start: 14px;
    padding-inline-start: 13px;
    border-inline-start: 4px solid var(--bl-good);
    max-inline-size: 62ch;
  }
  .good b {
    color: var(--bl-good);
    font-weight: 680;
  }
  .answer {
    padding: 4px var(--bl-pad, 20px) 18px;
    display: grid;
    gap: 12px;
    background: var(--bl-card);
    border-radius: 0 0 var(--bl-radius) var(--bl-radius);
  }
  .keys {
    display: grid;
    gap: 9px;
  }
  .keys button {
    border: 1.5px solid var(--bl-edge);
    border-block-end-width: 4px;
    border-radius: 12px;
    min-block-size: 58px;
    padding: 8px 18px;
    font-weight: 640;
    font-size: 1.06em;
    text-align: start;
    transition:
      transform 0.08s,
      border-width 0.08s;
  }
  .keys button:active,
  .keys button[aria-pressed='true'] {
    transform: translateY(2px);
    border-block-end-width: 2px;
    margin-block-end: 2px;
  }
  .keys button[aria-pressed='true'] {
    background: var(--bl-act-soft);
    border-color: var(--bl-act);
    opacity: 1;
  }
  .keys small {
    display: block;
    font-weight: 400;
    color: var(--bl-soft);
    font-size: 0.86em;
  }
  .keys .unsure {
    border-width: 1px;
    font-weight: 500;
  }
  .alt,
  .alt > div {
    display: flex;
    flex-wrap: wrap;
    gap: 8px;
  }
  /* what changes the question stands apart from what answers it */
  .alt {
    justify-content: space-between;
  }
  .alt .tools {
    gap: 2px;
    margin-inline: -11px;
  }
  .more {
    display: none;
  }
  .words {
    display: flex;
    gap: 8px;
  }
  .words button,
  .waiting button {
    flex: none;
  }
  .words button {
    font-weight: 650;
  }
  .panel {
    border: 1px solid var(--bl-line);
    border-radius: 12px;
    background: var(--bl-stub);
    padding: 12px 15px;
  }
  .panel p + p {
    margin-block-start: 6px;
  }
  .panel .row {
    display: flex;
    justify-content: space-between;
    align-items: center;
    gap: 12px;
  }
  .panel .quiet {
    margin-inline-end: -11px;
  }
  .others {
    display: grid;
    gap: 7px;
    margin-block-start: 8px;
  }
  .others button {
    display: flex;
    justify-content: space-between;
    gap: 14px;
    text-align: start;
    inline-size: 100%;
    border-color: var(--bl-line);
    min-block-size: 50px;
    align-items: center;
  }
  .others.meant button {
    border-color: var(--bl-edge);
    font-weight: 620;
    font-size: 1.06em;
  }
  .others span + span {
    color: var(--bl-soft);
    white-space: nowrap;
    font-size: 0.92em;
  }
  .waiting {
    color: var(--bl-soft);
    font-size: 0.94em;
    display: flex;
    align-items: center;
    justify-content: space-between;
    gap: 12px;
  }

  /* Under the thumb: on a narrow screen what answers stays at the bottom of it while the question is read. */
  @container (max-width: 560px) {
    .answer:not(.tall) {
      /* a page may say otherwise where something else is unfolded above it */
      position: var(--bl-answers-stay, sticky);
      inset-block-end: 0;
      z-index: 2;
      padding-block: 12px calc(12px + env(safe-area-inset-bottom, 0px));
      border-block-start: 1px solid var(--bl-line);
      box-shadow: 0 -10px 18px -14px rgb(0 0 0 / 0.35);
    }
    .read:has(+ .answer:not(.tall)) :is(button, a, summary, h2) {
      scroll-margin-block-end: var(--bl-answers, 0px);
    }
    .keys.short {
      grid-template-columns: 1fr 1fr;
    }
    .keys.tiny {
      grid-template-columns: repeat(3, 1fr);
    }
    .keys.short.three {
      grid-template-columns: 1fr;
    }
    .keys.short.three button {
      min-block-size: 50px;
    }
    /* What has to be done first is read before anything is answered. */
    .read:has(.set-up) + .answer {
      position: static;
      border-block-start: 0;
      box-shadow: none;
      padding-block-start: 4px;
    }
    .leads svg {
      inline-size: 36px;
    }
    .keys.short button,
    .keys.tiny button {
      padding-inline: 13px;
      line-height: 1.15;
    }
    .keys.short button:last-child:nth-child(odd) {
      grid-column: 1 / -1;
    }
    .alt {
      gap: 7px;
    }
    .alt button {
      padding-inline: 11px;
      flex: 1 1 auto;
    }
    .alt > div {
      display: contents;
    }
    .alt .more {
      display: block;
    }
    .alt:not(.all) .extra {
      display: none;
    }
  }
  @container (min-width: 561px) {
    .keys.short {
      grid-template-columns: 1fr 1fr;
    }
    .keys.three,
    .keys.tiny {
      grid-template-columns: repeat(3, 1fr);
    }
    .keys.short.three {
      grid-template-columns: repeat(3, auto);
    }
    .keys.three button {
      padding-inline: 14px;
      line-height: 1.2;
    }
    .figures {
      grid-template-columns: minmax(0, 1.2fr) minmax(0, 1fr);
    }
    .figures > :only-child {
      grid-column: 1 / -1;
    }
  }
  /* Zoomed far in there is no room for both: then everything scrolls. */
  @media (max-height: 420px) {
    .answer {
      position: static !important;
      box-shadow: none !important;
    }
  }
  @media (forced-colors: active) {
    .keys button[aria-pressed='true'] {
      forced-color-adjust: none;
      border-color: Highlight;
      background: Highlight;
      color: HighlightText;
    }
  }
  @media print {
    .answer {
      display: none;
    }
  }
`
