import { css } from 'lit'

export const photosStyles = css`
  :host {
    display: grid;
    gap: 10px;
  }
  .prints {
    display: grid;
    grid-template-columns: repeat(auto-fill, minmax(104px, 1fr));
    gap: 8px;
  }
  .prints button {
    display: grid;
    inline-size: 100%;
    padding: 4px;
    border-color: var(--bl-line);
    text-align: start;
    font-size: 0.84em;
  }
  .prints img,
  .empty {
    display: block;
    inline-size: 100%;
    aspect-ratio: 4 / 3;
    object-fit: cover;
    border-radius: 7px;
    background: var(--bl-track);
  }
  .prints span:not(.empty) {
    padding: 3px 2px 0;
    overflow-wrap: anywhere;
  }
  .empty {
    display: grid;
    place-items: center;
    color: var(--bl-soft);
    font-size: 0.84em;
  }
  label {
    display: grid;
    gap: 3px;
    font-size: 0.9em;
    color: var(--bl-soft);
  }
  label input[name='text'] {
    color: var(--bl-ink);
    font-size: 17px;
  }
  .take {
    display: flex;
    flex-wrap: wrap;
    gap: 8px;
  }
  /* The label is the button; the field itself is there for keyboards and for what reads the page. */
  .pick {
    position: relative;
    display: inline-flex;
    align-items: center;
    min-block-size: 44px;
    padding: 6px 15px;
    border: 1px solid var(--bl-edge);
    border-radius: 10px;
    background: var(--bl-card);
    color: var(--bl-ink);
    cursor: pointer;
    overflow: hidden;
  }
  .pick input {
    position: absolute;
    inset: 0;
    block-size: 100%;
    opacity: 0;
    cursor: pointer;
  }
  .pick:hover {
    background: var(--bl-act-soft);
    border-color: var(--bl-act);
  }
  .pick:focus-within {
    outline: 3px solid var(--bl-act);
    outline-offset: 2px;
  }
  .small {
    font-size: 0.86em;
  }
  dialog {
    inline-size: auto;
    max-inline-size: calc(100vw - 24px);
  }
  dialog figure {
    display: grid;
    gap: 10px;
    padding: 12px;
  }
  dialog img {
    max-inline-size: min(1100px, 100%);
    max-block-size: calc(100dvh - 170px);
    border-radius: 8px;
  }
  dialog button {
    justify-self: start;
  }
  :host([fixed]) .prints {
    grid-template-columns: repeat(3, 1fr);
  }
  :host([fixed]) img {
    object-fit: contain;
    outline: 1px solid #999;
    outline-offset: -1px;
    border-radius: 0;
    background: none;
  }
  :host([fixed]) figure {
    break-inside: avoid;
  }
  :host([fixed]) figcaption {
    font-size: 0.9em;
  }
  @media print {
    .pick {
      display: none;
    }
  }
`
