import { css } from 'lit'

export const overlayStyles = css`
  .way {
    display: flex;
    flex-wrap: wrap;
    gap: 6px 0;
    margin-block-start: 12px;
  }
  .way li {
    display: flex;
    align-items: center;
    color: var(--bl-soft);
  }
  .way li:not(:last-child)::after {
    content: '';
    inline-size: 26px;
    block-size: 2px;
    margin-inline: 10px;
    background: var(--bl-edge);
  }
  .way [aria-current='step'] {
    color: var(--bl-ink);
    font-weight: 680;
  }
  /* The thick edge takes from the inside: the text stands in line with the other cards. */
  .staged,
  .paper.bad {
    padding-inline-start: 14px;
  }
  @media (max-width: 720px) {
    .staged,
    .paper.bad {
      padding-inline-start: 10px;
    }
  }
  .staged {
    border-inline-start: 5px solid var(--bl-edge);
  }
  .working::before {
    content: '';
    display: inline-block;
    inline-size: 0.8em;
    block-size: 0.8em;
    margin-inline-end: 9px;
    border-radius: 50%;
    background: var(--bl-lamp);
    vertical-align: -0.05em;
    animation: glow 1.6s ease-in-out infinite alternate;
  }
  @keyframes glow {
    to {
      opacity: 0.25;
    }
  }
  .paper.bad .acts {
    margin-block-start: 12px;
  }
  .staged.good {
    border-inline-start-color: var(--bl-good);
  }
  .staged.bad,
  .paper.bad {
    border-inline-start: 5px solid var(--bl-bad);
  }
  .files {
    margin-block: 10px;
  }
  .id,
  pre,
  textarea,
  input[name='path'] {
    font-family: var(--bl-font-numbers);
  }
  .id {
    overflow-wrap: anywhere;
  }
  pre {
    max-block-size: 320px;
    overflow: auto;
    margin: 4px 0 12px;
    padding: 12px;
    border-radius: 10px;
    background: var(--bl-stub);
    font-size: 14px;
  }
  .draft li {
    display: grid;
    gap: 10px;
    padding-block: 14px;
    border-block-start: 1px solid var(--bl-line);
  }
  .draft label :is(textarea, input) {
    font-size: 15px;
  }
  .draft button {
    justify-self: start;
  }
  .file {
    margin-block-end: 12px;
    max-inline-size: 560px;
  }
`
