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
      0 0 0 1.5px var(--bl-edge);
  }
  /* Through is ticked, refused is struck out: in the dark a hole alone does not show. */
  .step::before {
    position: absolute;
    pointer-events: none;
    z-index: 2;
  }
  .done > .step::before {
    content: '';
    inset-inline-start: -16px;
    inset-block-start: 15px;
    inline-size: 6px;
    block-size: 10px;
    border: solid var(--bl-good);
    border-width: 0 2.5px 2.5px 0;
    rotate: 40deg;
  }
  .done.refused > .step::before {
    inset-inline-start: -20px;
    inset-block-start: 20px;
    inline-size: 15px;
    block-size: 0;
    border: 0;
    border-block-start: 2.5px solid var(--bl-bad);
    rotate: -45deg;
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
    position: relative;
    inline-size: calc(100% + 20px);
    text-align: start;
    border-color: transparent;
    background: none;
    padding-block: 8px;
    padding-inline: 9px 34px;
    margin-inline: -10px;
    display: flex;
    flex-wrap: wrap;
    gap: 1px 12px;
    align-items: baseline;
    font-size: 1em;
    line-height: 1.3;
  }
  .step::after {
    content: '';
    position: absolute;
    inset-inline-end: 14px;
    inset-block-start: 15px;
    inline-size: 8px;
    block-size: 8px;
    border: solid var(--bl-act);
    border-width: 0 2px 2px 0;
    rotate: 45deg;
  }
  .step[aria-expanded='true']::after {
    inset-block-start: 20px;
    rotate: 225deg;
  }
  .step:focus-visible {
    outline-offset: -3px;
  }
  .step b {
    font-weight: 500;
    color: var(--bl-soft);
  }
  .done > .step b {
    font-weight: 650;
    color: var(--bl-ink);
  }
  .now > .step b {
    font-weight: 720;
    font-size: 1.12em;
    color: var(--bl-ink);
  }
  .step .soft {
    font-size: 0.9em;
    overflow-wrap: anywhere;
  }
  .body {
    padding-block: 10px 18px;
    display: grid;
    gap: 12px;
    max-inline-size: 40em;
  }
  .next {
    padding-block: 4px 14px;
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
      background: Canvas;
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
  :host {
    display: grid;
    gap: 14px;
  }
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
  /* Left to the browser, an empty one is a filled grey disc in the dark. */
  .chips input:not(:checked) {
    appearance: none;
    border: 1.5px solid var(--bl-edge);
    border-radius: 4px;
    background: none;
  }
  .chips input[type='radio']:not(:checked) {
    border-radius: 50%;
  }
  .row {
    display: flex;
    flex-wrap: wrap;
    gap: 8px;
    align-items: center;
  }
  .row .main {
    flex: 1 1 auto;
  }
  .row .main ~ button {
    min-block-size: 54px;
  }
  .problem {
    margin-block: 0;
  }
  [aria-invalid='true'] {
    border-color: var(--bl-bad);
    border-width: 2px;
  }
  .links {
    display: grid;
    gap: 6px;
    justify-items: start;
  }
  /* What has no frame stands where the text does, not where its frame would. */
  .links button,
  .row .quiet,
  .chips .quiet {
    margin-inline-start: -11px;
    text-align: start;
  }
  @container (max-width: 420px) {
    .ways {
      display: grid;
      grid-template-columns: 1fr 1fr;
    }
    .ways label {
      gap: 8px;
      padding-inline: 9px 7px;
      font-size: 0.95em;
    }
    .ways label:last-child {
      grid-column: 1 / -1;
    }
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
  .by::first-letter {
    text-transform: uppercase;
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
    border-inline: 0;
    background: none;
    border-radius: 4px;
    padding: 9px 0;
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
    container-type: inline-size;
    padding-block: 12px 15px;
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
    padding-inline: 8px;
    font-weight: 600;
    border-width: 1.5px;
  }
  @container (max-width: 372px) {
    .answers button:last-child:nth-child(odd) {
      grid-column: 1 / -1;
    }
  }
  .answers button[aria-pressed='true'] {
    border-color: var(--bl-act);
    background: var(--bl-act-soft);
    box-shadow: inset 0 0 0 1px var(--bl-act);
  }
`
