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
  .pan {
    overflow: auto;
    block-size: 300px;
    overscroll-behavior: contain;
    scrollbar-width: thin;
    border-radius: 12px 12px 0 0;
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
  text {
    stroke: none;
    fill: var(--bl-ink);
    font-family: var(--bl-font);
    font-size: 13px;
  }
  .letter {
    font-weight: 700;
    font-size: 15px;
  }
  .node-name,
  .box-say {
    fill: var(--bl-soft);
    font-size: 12.5px;
  }
  .box-name {
    font-weight: 680;
    font-size: 15px;
  }
  .volts {
    font-family: var(--bl-font-numbers);
    font-size: 11.5px;
    fill: var(--bl-soft);
  }
  /* A whole circuit across a page is small: its words take what room there is. */
  :host([fixed]) text {
    font-size: 14px;
  }
  :host([fixed]) :is(.node-name, .box-say, .probe text) {
    font-size: 13px;
  }
  :host([fixed]) .volts {
    font-size: 12.5px;
  }
  :host([fixed]) :is(.letter, .box-name) {
    font-size: 15px;
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
  .mark > text {
    fill: var(--bl-bad);
    font-weight: 700;
    font-size: 12px;
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
    font-size: 12.5px;
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
    padding: 6px 6px 6px 14px;
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
    gap: 2px 4px;
  }
  .tools button {
    background: none;
    border-color: transparent;
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
    .mark > text {
      fill: CanvasText;
    }
  }
  @media print {
    .pan {
      block-size: auto;
      overflow: visible;
    }
    svg.circuit {
      inline-size: 100%;
      block-size: auto;
      --live: #000;
    }
  }
`
