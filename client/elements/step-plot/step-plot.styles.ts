import { css } from 'lit'

/** Shared by the plots: axes, words, the line of what means what. */
export const plotStyles = css`
  :host {
    display: block;
    min-inline-size: 0;
    container-type: inline-size;
  }
  figure {
    margin: 0;
    border: 1px solid var(--bl-line);
    border-radius: 12px;
    background: var(--bl-stub);
    padding: 11px 14px 10px;
  }
  figcaption {
    font-size: 0.9em;
    color: var(--bl-soft);
    line-height: 1.3;
    margin-block-end: 6px;
  }
  /* From the first click to the last and from low to high, whichever way a language is read. */
  svg.plot {
    display: block;
    inline-size: 100%;
    overflow: visible;
    direction: ltr;
  }
  text {
    font-family: var(--bl-font);
    font-size: 13px;
    fill: var(--bl-ink);
  }
  .tick {
    font-family: var(--bl-font-numbers);
    font-size: 12px;
    fill: var(--bl-soft);
  }
  .grid {
    stroke: var(--bl-line);
    stroke-width: 1;
  }
  .read {
    font-family: var(--bl-font-numbers);
    font-size: 13.5px;
    font-weight: 700;
    paint-order: stroke;
    stroke: var(--bl-stub);
    stroke-width: 4;
    stroke-linejoin: round;
  }
  .key {
    display: flex;
    flex-wrap: wrap;
    gap: 2px 16px;
    list-style: none;
    margin: 6px 0 0;
    padding: 0;
    font-size: 0.86em;
    color: var(--bl-soft);
  }
  .key li {
    display: flex;
    align-items: center;
    gap: 7px;
  }
  .key svg {
    inline-size: 26px;
    block-size: 14px;
    flex: none;
    overflow: visible;
  }
  .key svg.dot {
    inline-size: 14px;
  }
  @media (forced-colors: active) {
    text,
    .tick,
    .read {
      fill: CanvasText;
    }
    .read {
      stroke: Canvas;
    }
    .grid {
      stroke: GrayText;
    }
  }
`

export const stepPlotStyles = css`
  .band {
    fill: color-mix(in oklab, var(--bl-good) 22%, transparent);
    stroke: var(--bl-good);
    stroke-width: 1;
    stroke-dasharray: 2 3;
  }
  .expected {
    fill: none;
    stroke: var(--bl-good);
    stroke-width: 2.6;
    stroke-dasharray: 7 4;
  }
  .fault {
    fill: none;
    stroke: var(--bl-bad);
    stroke-width: 2.2;
    stroke-dasharray: 1.5 4;
    stroke-linecap: round;
  }
  .joined {
    fill: none;
    stroke: var(--bl-ink);
    stroke-width: 1.6;
  }
  .point {
    fill: var(--bl-ink);
    stroke: var(--bl-stub);
    stroke-width: 2.5;
  }
  .point.off {
    fill: var(--bl-bad);
  }
  .read.off {
    fill: var(--bl-bad);
  }
  @media (forced-colors: active) {
    .band {
      fill: none;
      stroke: GrayText;
    }
    .expected,
    .fault,
    .joined {
      stroke: CanvasText;
    }
    .point,
    .point.off {
      fill: Highlight;
      stroke: Canvas;
    }
    .read.off {
      fill: CanvasText;
    }
  }
`
