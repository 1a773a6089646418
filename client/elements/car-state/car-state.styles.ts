import { css } from 'lit'

export const carStateStyles = css`
  h3 {
    margin-block-end: 10px;
  }
  .chips {
    display: flex;
    flex-wrap: wrap;
    gap: 7px;
  }
  .chips label {
    position: relative;
    display: inline-flex;
    align-items: center;
    min-block-size: 44px;
    border: 1px solid var(--bl-edge);
    border-radius: 22px;
    padding-inline: 13px 0;
    font-size: 0.91em;
    gap: 2px;
    background: var(--bl-card);
  }
  .chips b {
    padding-inline: 5px;
    font-weight: 640;
  }
  dl {
    display: grid;
    grid-template-columns: 1fr auto;
    gap: 5px 12px;
  }
  dd {
    font-weight: 640;
  }
  .chips label:focus-within {
    outline: 3px solid var(--bl-act);
    outline-offset: 2px;
  }
  .chips label.alert {
    border-color: var(--bl-lamp);
    box-shadow: inset 0 0 0 1px var(--bl-lamp);
    background: color-mix(in oklab, var(--bl-lamp) 11%, var(--bl-card));
  }
  .chips span {
    color: var(--bl-soft);
  }
  select {
    border: 0;
    background-color: transparent;
    border-radius: 22px;
    inline-size: auto;
    min-block-size: 42px;
    padding-inline: 5px 32px;
    font-weight: 640;
    outline: none !important;
    max-inline-size: 12em;
    field-sizing: content;
  }
  option {
    background: Canvas;
    color: CanvasText;
  }
  .bridge {
    display: grid;
    grid-template-columns: minmax(0, 1fr) auto;
    gap: 12px;
    align-items: center;
    padding-block: 9px;
    padding-inline: 28px 14px;
    font-size: 0.92em;
    color: #000;
    background:
      linear-gradient(#ffd100, #ffd100) 14px 0 no-repeat,
      repeating-linear-gradient(45deg, #000 0 8px, #ffd100 8px 16px);
    font-weight: 640;
    line-height: 1.3;
    forced-color-adjust: none;
  }
  .bridge button {
    background: #000;
    color: #fff;
    border: 1px solid #000;
    font-weight: 640;
  }
  .bridge:dir(rtl) {
    background-position: -14px 0, 0 0;
  }
  .remind {
    padding: 9px var(--bl-pad, 20px);
    border-inline-start: 4px solid var(--bl-lamp);
    background: color-mix(in oklab, var(--bl-lamp) 10%, var(--bl-card));
    font-weight: 600;
    font-size: 0.95em;
  }
`
