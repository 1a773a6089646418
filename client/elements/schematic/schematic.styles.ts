import { css } from 'lit'

export const schematicStyles = css`
  :host {
    display: block;
    --live: light-dark(#b36a00, #ffb02e);
    min-inline-size: 0;
  }
  figure {
    margin: 0;
    border: 1px solid var(--bl-line);
    border-radius: 12px;
    background: var(--bl-stub);
    overflow: clip;
  }
  .window {
    position: relative;
    --left: 0px;
    --right: 0px;
    --top: 0px;
    --bottom: 0px;
  }
  /* A drawing does not turn round with the language. */
  .pan {
    overflow: auto;
    block-size: clamp(280px, 52vh, 420px);
    overscroll-behavior: contain;
    scrollbar-width: thin;
    border-radius: 12px 12px 0 0;
    direction: ltr;
  }
  .edges {
    position: absolute;
    inset: 0;
    pointer-events: none;
    border-radius: 12px 12px 0 0;
    background:
      linear-gradient(to right, var(--bl-stub), transparent) left / var(--left) 100% no-repeat,
      linear-gradient(to left, var(--bl-stub), transparent) right / var(--right) 100% no-repeat,
      linear-gradient(to bottom, var(--bl-stub), transparent) top / 100% var(--top) no-repeat,
      linear-gradient(to top, var(--bl-stub), transparent) bottom / 100% var(--bottom) no-repeat;
  }
  .pan:focus-visible + .edges {
    display: none;
  }
  .pan:focus-visible {
    outline-offset: -3px;
  }
  :host([fixed]) .pan {
    block-size: auto;
    overflow: visible;
  }
  svg.circuit {
    display: block;
    fill: none;
    stroke: var(--bl-ink);
    stroke-width: 1.7;
    stroke-linejoin: round;
    stroke-linecap: round;
  }
  :host([fixed]) svg.circuit {
    inline-size: 100%;
    block-size: auto;
  }
  /* A halo keeps words apart from the lines that they cannot stand clear of. */
  text {
    stroke: var(--bl-stub);
    stroke-width: 4px;
    paint-order: stroke;
    fill: var(--bl-ink);
    font-family: var(--bl-font);
  }
  .letter,
  .probe text,
  .box text {
    stroke: none;
  }
  .letter {
    font-weight: 700;
    font-size: 15px;
  }
  .letter.small {
    font-size: 11.5px;
  }
  .node-name,
  .box-say {
    fill: var(--bl-soft);
  }
  .box-say {
    font-size: 12.5px;
  }
  .box-name {
    font-weight: 680;
    font-size: 15px;
  }
  .volts {
    font-family: var(--bl-font-numbers);
    fill: var(--bl-soft);
  }
  :host([fixed]) .box-say {
    font-size: 13px;
  }
  .part-name.suspect {
    font-weight: 700;
  }
  .wire {
    fill: none;
  }
  .bus {
    stroke-width: 2.6;
  }
  .part.power > .wire,
  .part.power > .symbol {
    stroke: var(--live);
    stroke-width: 4;
  }
  .part.power > .symbol {
    stroke-width: 2.8;
  }
  .part.signal > .wire,
  .part.signal > .symbol {
    stroke: var(--live);
    stroke-width: 2.4;
  }
  .part.loose > .wire {
    stroke: var(--bl-soft);
    stroke-dasharray: 1.5 4.5;
  }
  .part.loose > .symbol {
    stroke: var(--bl-soft);
  }
  .node {
    fill: var(--bl-ink);
    stroke: none;
  }
  .dot {
    fill: var(--bl-stub);
  }
  .core {
    stroke-width: 2.4;
  }
  .box > rect {
    fill: color-mix(in oklab, var(--bl-ink) 5%, var(--bl-card));
  }
  .box.suspect > rect {
    stroke: var(--bl-bad);
    stroke-width: 2.4;
    stroke-dasharray: 6 4;
  }
  .hatch {
    stroke: var(--bl-bad);
    stroke-width: 1.3;
    opacity: 0.45;
  }
  .mark > rect {
    stroke: var(--bl-bad);
    stroke-width: 2;
    stroke-dasharray: 6 4;
  }
  .flag {
    fill: var(--bl-bad);
    font-weight: 700;
  }
  tspan.flag {
    font-size: 0.9em;
  }
  .join {
    stroke: var(--bl-bad);
    stroke-width: 2.6;
    stroke-dasharray: 7 5;
  }
  .probe .needle {
    stroke-width: 2.6;
  }
  .probe.red {
    stroke: var(--bl-red-lead);
  }
  .probe.black {
    stroke: var(--bl-black-lead);
  }
  .probe > circle,
  .probe > rect {
    fill: var(--bl-card);
    stroke-width: 3;
  }
  .probe > .tag {
    stroke-width: 1.8;
  }
  .probe text {
    font-family: var(--bl-font-numbers);
    font-weight: 700;
    fill: currentColor;
  }
  .probe.red text {
    color: var(--bl-red-lead);
  }
  .probe.black text {
    color: var(--bl-black-lead);
  }
  .hit {
    stroke: transparent;
    stroke-width: 22;
    cursor: crosshair;
    pointer-events: stroke;
  }
  .bar {
    display: flex;
    flex-wrap: wrap;
    align-items: center;
    gap: 4px 14px;
    padding-block: 8px;
    padding-inline: 14px 10px;
    border-block-start: 1px solid var(--bl-line);
    font-size: 0.86em;
    color: var(--bl-soft);
  }
  .key {
    display: flex;
    flex-wrap: wrap;
    gap: 2px 14px;
    flex: 1 1 10em;
    margin: 0;
    padding: 4px 0;
    list-style: none;
  }
  .key li {
    display: flex;
    align-items: center;
    gap: 7px;
  }
  .key svg {
    inline-size: 26px;
    block-size: 12px;
    flex: none;
    fill: none;
    stroke: var(--bl-ink);
    stroke-width: 1.7;
    overflow: visible;
  }
  .tools {
    display: flex;
    flex-wrap: wrap;
    gap: 6px;
  }
  .tools button {
    background: var(--bl-card);
    border-color: var(--bl-edge);
    color: var(--bl-act);
    font-weight: 640;
    padding-inline: 8px;
    white-space: nowrap;
  }
  .tools .sign {
    font-size: 1.35em;
    padding: 0;
  }
  details {
    border-block-start: 1px solid var(--bl-line);
    padding-inline: 14px;
    font-size: 0.94em;
  }
  .tables {
    display: grid;
    grid-template-columns: repeat(auto-fit, minmax(min(100%, 15em), 1fr));
    gap: 4px 26px;
    padding-block-end: 12px;
    align-items: start;
  }
  table {
    border-collapse: collapse;
    inline-size: 100%;
  }
  th {
    text-align: start;
    font-weight: 640;
    color: var(--bl-soft);
    padding: 4px 0;
  }
  td {
    padding: 3px 0;
    border-block-start: 1px solid var(--bl-line);
  }
  td:last-child,
  th:last-child {
    text-align: end;
    font-variant-numeric: tabular-nums;
    white-space: nowrap;
    padding-inline-start: 10px;
  }
  @media (forced-colors: active) {
    :host {
      --live: Highlight;
    }
    svg.circuit {
      stroke: CanvasText;
      forced-color-adjust: none;
    }
    text,
    .node-name,
    .box-say,
    .volts {
      fill: CanvasText;
    }
    figure,
    .pan {
      background: Canvas;
    }
    .node {
      fill: CanvasText;
    }
    .dot,
    .box > rect,
    .probe > circle,
    .probe > rect {
      fill: Canvas;
    }
    .mark > rect,
    .hatch,
    .join,
    .probe.red,
    .probe.black {
      stroke: CanvasText;
    }
    .probe text,
    .flag {
      fill: CanvasText;
    }
    text {
      stroke: Canvas;
    }
    .letter,
    .probe text,
    .box text {
      stroke: none;
    }
    .edges {
      display: none;
    }
  }
  @media print {
    .edges {
      display: none;
    }
    .pan {
      block-size: auto;
      max-block-size: none !important;
      overflow: visible;
    }
    svg.circuit {
      inline-size: 100%;
      block-size: auto;
      --live: #000;
    }
  }
`
