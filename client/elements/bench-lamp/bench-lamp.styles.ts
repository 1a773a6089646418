import { css } from 'lit'

export const benchLampStyles = css`
  :host {
    display: flex;
    flex-direction: column;
  }
  /* Whatever the page says to everything, it ends here. */
  .frame {
    all: initial;
    display: flex;
    flex-direction: column;
    flex: 1;
    color-scheme: inherit;
    container-type: inline-size;
    font-family: var(--bl-font);
    /* the reader's own size, not the page's */
    font-size: medium;
    line-height: 1.45;
    color: var(--bl-ink);
    text-align: start;
    -webkit-text-size-adjust: 100%;
    --bl-pad: 20px;
  }
  .frame > * {
    font-size: 1.0625em;
  }
  .frame.compact {
    inline-size: 100%;
    max-inline-size: 33em;
    margin-inline: auto;
  }
  .paper {
    background: var(--bl-card);
    border: 1px solid var(--bl-line);
    border-radius: var(--bl-radius);
    min-inline-size: 0;
    /* cuts corners and, unlike hidden, lets what answers stick to the bottom of the screen */
    overflow: clip;
  }

  /* Compact: a job card with its stub on top, torn along the perforation. */
  .stub {
    background: var(--bl-stub);
    border: 1px solid var(--bl-line);
    border-block-end: 0;
    border-radius: var(--bl-radius) var(--bl-radius) 0 0;
    padding-block: 11px 12px;
    padding-inline: 18px 12px;
    display: flex;
    gap: 13px;
    align-items: center;
    min-block-size: 74px;
  }
  .stub bl-mark {
    inline-size: 27px;
    margin-block: -1px;
  }
  .compact .card {
    position: relative;
    display: flex;
    flex-direction: column;
    flex: 1;
    border-block-start: 0;
    border-start-start-radius: 0;
    border-start-end-radius: 0;
    border-radius: 0 0 var(--bl-radius) var(--bl-radius);
  }
  .tear {
    position: relative;
    block-size: 0;
    z-index: 1;
    border-block-start: 2px dashed var(--bl-edge);
    opacity: 0.75;
    margin-inline: 14px;
  }
  .stub {
    mask:
      radial-gradient(circle 8px at 0 100%, #0000 7.5px, #000 8px) left / 51% 100% no-repeat,
      radial-gradient(circle 8px at 100% 100%, #0000 7.5px, #000 8px) right / 51% 100% no-repeat;
  }
  .compact .card {
    mask:
      radial-gradient(circle 8px at 0 0, #0000 7.5px, #000 8px) left / 51% 100% no-repeat,
      radial-gradient(circle 8px at 100% 0, #0000 7.5px, #000 8px) right / 51% 100% no-repeat;
  }
  .about {
    flex: 1;
    min-inline-size: 0;
    text-align: start;
    border-color: transparent;
    background: none;
    padding: 4px 6px;
    margin-inline: -6px;
    display: block;
    font-size: 1em;
  }
  .about b {
    display: block;
    font-weight: 660;
    line-height: 1.25;
    overflow: hidden;
    display: -webkit-box;
    -webkit-line-clamp: 2;
    line-clamp: 2;
    -webkit-box-orient: vertical;
  }
  .about span {
    font-size: 0.88em;
    color: var(--bl-soft);
  }
  button.about > span::after {
    content: '';
    display: inline-block;
    inline-size: 0.45em;
    block-size: 0.45em;
    border: solid var(--bl-act);
    border-width: 0 2px 2px 0;
    transform: translateY(-0.2em) rotate(45deg);
    margin-inline-start: 8px;
  }
  button.about[aria-expanded='true'] > span::after {
    transform: rotate(225deg);
  }
  .holes {
    display: inline-flex;
    gap: 5px;
    margin-inline-end: 8px;
    vertical-align: -1px;
  }
  .holes i {
    inline-size: 9px;
    block-size: 9px;
    border-radius: 50%;
    background: var(--bl-bench);
    box-shadow:
      inset 0 1px 1.5px rgb(0 0 0 / 0.5),
      0 0 0 1px color-mix(in oklab, var(--bl-edge) 75%, var(--bl-stub));
  }
  .tray {
    padding: 14px var(--bl-pad) 16px;
    border-block-end: 1px solid var(--bl-line);
    background: var(--bl-stub);
  }
  /* While the trail is unfolded, what answers waits below the question and covers nothing. */
  .compact .card:has(.tray) bl-check {
    --bl-answers-stay: static;
  }
  .tray .foot {
    display: flex;
    flex-wrap: wrap;
    gap: 8px;
    justify-content: space-between;
    align-items: center;
    margin-block-start: 10px;
  }

  /* A quiet line above everything: the state of the connection, what was just done. */
  .line {
    display: flex;
    gap: 10px;
    align-items: center;
    padding: 9px var(--bl-pad);
    font-size: 0.92em;
    line-height: 1.35;
    color: var(--bl-soft);
    border-block-end: 1px solid var(--bl-line);
  }
  .line::before {
    content: '';
    inline-size: 10px;
    block-size: 10px;
    border-radius: 50%;
    border: 2px solid var(--bl-lamp);
    flex: none;
  }
  .line.noted::before {
    content: none;
  }
  .line.noted {
    background: var(--bl-act-soft);
    color: var(--bl-ink);
    border-block-end: 0;
  }
  .line.ink {
    color: var(--bl-ink);
  }
  .line button {
    margin-inline-start: auto;
    flex: none;
  }
  .none {
    padding: 22px var(--bl-pad) 26px;
  }
  .none button {
    margin-block-start: 14px;
  }
  .none.lead {
    padding-block-end: 6px;
  }
  .wait {
    min-block-size: 180px;
  }
  .problem {
    margin: 14px var(--bl-pad) 0;
  }
  .problem button {
    justify-self: start;
    margin-block-start: 6px;
  }
  .further {
    border-block-start: 2px dashed var(--bl-line);
    padding-block-start: 4px;
  }
  .further > .label {
    padding: 16px var(--bl-pad) 0;
  }
  details.fold {
    padding: 4px var(--bl-pad) 10px;
    border-block-start: 1px solid var(--bl-line);
  }
  details.fold > summary {
    font-weight: 620;
  }

  /* Full: the bench. */
  .bench {
    background: var(--bl-bench);
    flex: 1;
    padding: 0 22px 28px;
  }
  .head {
    display: flex;
    align-items: stretch;
    gap: 16px;
    padding-block: 14px;
    max-inline-size: 1440px;
    margin-inline: auto;
  }
  .brand {
    display: flex;
    align-items: center;
    gap: 12px;
    font-weight: 720;
    font-size: 1.2em;
    letter-spacing: -0.005em;
  }
  .brand bl-mark {
    inline-size: 27px;
  }
  /* Dressed once the workshop is here, which brings what stands in them. */
  aside,
  .boxes,
  .acts,
  .lamp {
    display: none;
  }
  @container (max-width: 420px) {
    .about span {
      font-size: 0.84em;
    }
    button.about span {
      white-space: nowrap;
    }
    /* There is no room for them beside the words that say the same. */
    .about .holes {
      display: none;
    }
    .stub {
      padding-inline: 14px 6px;
      gap: 11px;
    }
    .compact > * {
      --bl-pad: 16px;
    }
    .about b {
      font-size: 0.94em;
      -webkit-line-clamp: 3;
      line-clamp: 3;
    }
  }
  .come {
    animation: come 0.28s cubic-bezier(0.2, 0.8, 0.2, 1);
  }
  @keyframes come {
    from {
      opacity: 0;
      transform: translateY(7px);
    }
  }
  @media (prefers-reduced-motion: reduce) {
    .come {
      animation: none;
    }
  }
  @media (forced-colors: active) {
    .stub,
    .compact .card {
      mask: none;
    }
  }
  @media print {
    .bench {
      background: none;
      padding: 0;
    }
    .paper,
    .stub {
      border: 0;
      mask: none !important;
      background: none;
    }
    .line {
      display: none !important;
    }
    .frame {
      font-size: 11pt;
      --bl-ink: #000;
      --bl-soft: #333;
    }
  }
`
