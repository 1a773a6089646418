import { css } from 'lit'

/** A sheet of paper over the page, for what has to be settled first. */
export const dialogStyles = css`
  dialog {
    inline-size: min(560px, calc(100vw - 24px));
    max-block-size: calc(100dvh - 24px);
    overflow: auto;
    padding: 0;
    border: 1px solid var(--bl-line);
    border-radius: var(--bl-radius);
    background: var(--bl-card);
    color: var(--bl-ink);
    box-shadow: 0 18px 60px rgb(0 0 0 / 0.35);
  }
  dialog::backdrop {
    background: rgb(10 20 22 / 0.55);
  }
  dialog form {
    display: grid;
    gap: 14px;
    padding: 22px;
  }
  dialog h2 {
    font-size: 1.4em;
  }
  .acts {
    display: flex;
    flex-wrap: wrap;
    gap: 10px;
    margin-block-start: 4px;
  }
  .acts button {
    min-block-size: 50px;
  }
`
