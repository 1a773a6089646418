import { css } from 'lit'

export const workOrderStyles = css`
  :host {
    display: block;
    padding: 14px clamp(6px, 2vw, 24px) 48px;
    color: var(--bl-ink);
    font: 17px/1.45 var(--bl-font);
  }
  .tools {
    display: flex;
    flex-wrap: wrap;
    align-items: center;
    gap: 10px;
    max-inline-size: 210mm;
    margin: 0 auto 14px;
  }
  .tools > * {
    min-block-size: 48px;
  }
  .tools .main {
    margin-inline-start: auto;
  }
  .button {
    display: inline-flex;
    align-items: center;
    min-block-size: 44px;
    padding: 6px 15px;
    border: 1px solid var(--bl-edge);
    border-radius: 10px;
    background: var(--bl-card);
    color: var(--bl-ink);
    text-decoration: none;
    font-size: 0.94em;
  }
  fieldset {
    display: flex;
    border: 1px solid var(--bl-edge);
    border-radius: 10px;
    background: var(--bl-card);
    overflow: hidden;
  }
  fieldset label {
    position: relative;
    display: inline-flex;
    align-items: center;
    min-block-size: 46px;
    padding-inline: 14px;
    font-size: 0.94em;
    cursor: pointer;
  }
  fieldset input {
    position: absolute;
    inset: 0;
    min-block-size: 44px;
    opacity: 0;
    cursor: pointer;
  }
  fieldset label:has(:checked) {
    background: var(--bl-act-soft);
    font-weight: 660;
    box-shadow: inset 0 -3px 0 var(--bl-act);
  }
  fieldset label:has(:focus-visible) {
    outline: 3px solid var(--bl-act);
    outline-offset: -3px;
  }
  .problem {
    max-inline-size: 210mm;
    margin-inline: auto;
  }
  .problem :is(button, .button) {
    justify-self: start;
    margin-block-start: 8px;
  }
  bl-order-paper,
  bl-sheet-paper {
    max-inline-size: 210mm;
    margin: 0 auto 20px;
  }
  @media (max-width: 640px) {
    .tools .main {
      margin-inline-start: 0;
      flex: 1 1 100%;
    }
    fieldset {
      flex: 1 1 100%;
    }
    fieldset label {
      flex: 1;
      justify-content: center;
      padding-inline: 4px;
    }
  }
  @media print {
    :host {
      padding: 0;
    }
    .tools,
    .problem {
      display: none;
    }
    bl-order-paper,
    bl-sheet-paper {
      max-inline-size: none;
      margin: 0;
    }
    bl-order-paper + bl-sheet-paper {
      break-before: page;
    }
  }
`
