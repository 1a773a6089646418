import { css } from 'lit'

/** The steps of a job as punched holes of its card: done ones are through, the one that is due is lit. */
export const stepStyles = css`
  section.job {
    border-block-start: 2px dashed var(--bl-line);
    padding: 18px var(--bl-pad, 20px) 14px;
    display: grid;
    gap: 10px;
  }
  :host([main]) section.job {
    border-block-start: 0;
  }
  .steps > li {
    position: relative;
    padding-inline-start: 31px;
  }
  .steps > li::before {
    content: '';
    position: absolute;
    inset-inline-start: 1px;
    inset-block-start: 14px;
    inline-size: 17px;
    block-size: 17px;
    border-radius: 50%;
    border: 1.5px dashed var(--bl-edge);
    z-index: 1;
  }
  .steps > li.done::before {
    border: 0;
    background: var(--bl-bench);
    box-shadow:
      inset 0 1.5px 2.5px rgb(0 0 0 / 0.42),
      0 0 0 1px var(--bl-line);
  }
  .steps > li.now::before {
    border: 0;
    background: var(--bl-glow);
    box-shadow:
      0 0 0 2px var(--bl-lamp),
      0 0 12px var(--bl-glow);
  }
  .steps > li:not(:last-child)::after {
    content: '';
    position: absolute;
    inset-inline-start: 9px;
    inset-block: 34px -12px;
    border-inline-start: 1.5px dashed var(--bl-line);
  }
  .step {
    inline-size: calc(100% + 18px);
    text-align: start;
    border-color: transparent;
    background: none;
    padding: 8px 9px;
    margin-inline: -9px;
    display: flex;
    flex-wrap: wrap;
    gap: 1px 12px;
    align-items: baseline;
    font-size: 1em;
    line-height: 1.3;
  }
  .step b {
    font-weight: 650;
  }
  .now > .step b {
    font-weight: 720;
    font-size: 1.12em;
  }
  .step .soft {
    font-size: 0.9em;
    overflow-wrap: anywhere;
  }
  .body {
    padding-block: 4px 18px;
    display: grid;
    gap: 12px;
    max-inline-size: 40em;
  }
  .links {
    display: grid;
    gap: 6px;
    justify-items: start;
  }
  .links button {
    text-align: start;
  }
  a.paper {
    display: inline-flex;
    align-items: center;
    min-block-size: 44px;
    color: var(--bl-act);
    font-weight: 640;
  }
  .row {
    display: flex;
    flex-wrap: wrap;
    gap: 8px;
    align-items: center;
  }
  @media (forced-colors: active) {
    .steps > li.done::before {
      border: 2px solid CanvasText;
      background: CanvasText;
    }
    .steps > li.now::before {
      border: 2px solid Highlight;
      background: Highlight;
    }
  }
  @media print {
    section.job {
      display: none;
    }
  }
`

/** Forms of a job: one thing under the other, what is pressed at the end. */
export const formStyles = css`
  form,
  .form {
    display: grid;
    gap: 14px;
  }
  .field {
    display: grid;
    gap: 5px;
  }
  .field > label,
  fieldset > legend {
    font-size: 0.94em;
    font-weight: 620;
    letter-spacing: 0;
    text-transform: none;
    color: var(--bl-ink);
    line-height: 1.35;
    padding: 0;
    margin-block-end: 5px;
  }
  .field > label {
    margin-block-end: 0;
  }
  .field .soft {
    font-size: 0.9em;
  }
  input.amount {
    max-inline-size: 11em;
    font-family: var(--bl-font-numbers);
    font-size: 1.2em;
    font-weight: 600;
  }
  .chips {
    display: flex;
    flex-wrap: wrap;
    gap: 8px;
  }
  .chips label {
    display: flex;
    align-items: center;
    gap: 10px;
    min-block-size: 48px;
    padding: 6px 15px 6px 12px;
    border: 1.5px solid var(--bl-edge);
    border-radius: 10px;
    background: var(--bl-card);
    cursor: pointer;
    line-height: 1.25;
  }
  .chips label:has(input:checked) {
    border-color: var(--bl-act);
    background: var(--bl-act-soft);
    box-shadow: inset 0 0 0 1px var(--bl-act);
  }
  .chips label:has(:focus-visible) {
    outline: 3px solid var(--bl-act);
    outline-offset: 2px;
  }
  .chips input {
    min-block-size: 0;
    inline-size: 19px;
    block-size: 19px;
    margin: 0;
    padding: 0;
    flex: none;
    accent-color: var(--bl-act);
    outline: none;
  }
  .row {
    display: flex;
    flex-wrap: wrap;
    gap: 8px;
    align-items: center;
  }
  .row .main {
    flex: 1 1 auto;
    max-inline-size: 24em;
  }
  .said li {
    padding-block: 5px;
    overflow-wrap: anywhere;
  }
  .said li.over {
    color: var(--bl-soft);
    text-decoration: line-through;
    text-decoration-thickness: 1px;
  }
  .said span {
    color: var(--bl-soft);
    font-size: 0.9em;
  }
  .kept {
    color: var(--bl-soft);
    font-size: 0.9em;
  }
`

/** A list of which one entry is open at a time: what was answered is one line and can be reopened. */
export const listStyles = css`
  :host {
    display: grid;
    gap: 10px;
  }
  .list > li {
    border-block-start: 1px solid var(--bl-line);
  }
  .list > li:last-child {
    border-block-end: 1px solid var(--bl-line);
  }
  .entry {
    inline-size: 100%;
    display: flex;
    flex-wrap: wrap;
    gap: 1px 14px;
    justify-content: space-between;
    align-items: baseline;
    text-align: start;
    border-color: transparent;
    background: none;
    border-radius: 4px;
    padding: 9px 4px;
    font-size: 0.96em;
  }
  .entry .result {
    font-weight: 640;
    overflow-wrap: anywhere;
  }
  .entry .result.none {
    font-weight: 400;
    color: var(--bl-soft);
  }
  .entry .result.was {
    color: var(--bl-bad);
  }
  .entry .word {
    flex-basis: 100%;
    color: var(--bl-soft);
    overflow-wrap: anywhere;
  }
  .open {
    padding: 12px 4px 15px;
    display: grid;
    gap: 10px;
  }
  .open > b {
    font-weight: 680;
    font-size: 1.1em;
    line-height: 1.3;
  }
  .answers {
    display: grid;
    grid-template-columns: repeat(auto-fit, minmax(7.4em, 1fr));
    gap: 8px;
  }
  .answers button {
    min-block-size: 52px;
    font-weight: 600;
    border-width: 1.5px;
  }
  .answers button[aria-pressed='true'] {
    border-color: var(--bl-act);
    background: var(--bl-act-soft);
    box-shadow: inset 0 0 0 1px var(--bl-act);
  }
`
