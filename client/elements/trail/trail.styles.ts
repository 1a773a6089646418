import { css } from 'lit'

export const trailStyles = css`
  ol {
    display: grid;
  }
  li {
    position: relative;
    padding-inline-start: 31px;
    padding-block-end: 5px;
  }
  /* the hole: seen through to the bench, with the shade of the card's edge */
  li::before {
    content: '';
    position: absolute;
    inset-inline-start: 1px;
    inset-block-start: 13px;
    inline-size: 17px;
    block-size: 17px;
    border-radius: 50%;
    background: var(--bl-bench);
    box-shadow:
      inset 0 1.5px 2.5px rgb(0 0 0 / 0.42),
      0 0 0 1px color-mix(in oklab, var(--bl-edge) 75%, var(--bl-stub));
    z-index: 1;
  }
  li:not(:last-child)::after {
    content: '';
    position: absolute;
    inset-inline-start: 9px;
    inset-block: 32px -11px;
    border-inline-start: 1.5px dashed var(--bl-edge);
  }
  li.now::before {
    background: var(--bl-glow);
    box-shadow:
      0 0 0 2px var(--bl-lamp),
      0 0 12px var(--bl-glow);
  }
  li.doubted::before {
    box-shadow:
      inset 0 1.5px 2.5px rgb(0 0 0 / 0.42),
      0 0 0 2.5px var(--bl-bad);
  }
  .item {
    inline-size: calc(100% + 18px);
    text-align: start;
    border: 1px solid transparent;
    background: none;
    padding: 7px 9px;
    margin-inline: -9px;
    display: block;
    font-size: 0.94em;
    line-height: 1.25;
  }
  .q {
    display: block;
    font-size: 0.88em;
    color: var(--bl-soft);
    line-height: 1.3;
  }
  .a {
    display: block;
    font-weight: 650;
    font-size: 1.05em;
    line-height: 1.3;
    overflow-wrap: anywhere;
    text-wrap: balance;
  }
  .open .a {
    font-weight: 400;
    color: var(--bl-soft);
  }
  .by {
    font-size: 0.82em;
    color: var(--bl-soft);
  }
  .doubt {
    color: var(--bl-bad);
    font-size: 0.86em;
    font-weight: 620;
  }
  .now .item {
    cursor: default;
  }
  .reopen {
    display: flex;
    flex-wrap: wrap;
    gap: 7px;
    padding-block: 4px 10px;
  }
  .empty {
    color: var(--bl-soft);
    font-size: 0.95em;
  }
  @media (forced-colors: active) {
    li::before {
      border: 2px solid CanvasText;
    }
    li.now::before {
      background: Highlight;
    }
  }
  @media print {
    ol {
      display: block;
      columns: 2;
    }
    li {
      break-inside: avoid;
    }
    .item {
      display: block !important;
      padding-block: 2px;
    }
  }
`
