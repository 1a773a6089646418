import { css } from 'lit'

export const batteryBarsStyles = css`
  .block {
    fill: color-mix(in oklab, var(--bl-good) 26%, var(--bl-stub));
    stroke: var(--bl-ink);
    stroke-width: 1.6;
  }
  .block.low {
    stroke: var(--bl-bad);
    stroke-width: 2.4;
  }
  .post {
    fill: var(--bl-stub);
    stroke: var(--bl-ink);
    stroke-width: 1.6;
  }
  .hatch {
    stroke: var(--bl-bad);
    stroke-width: 2;
    opacity: 0.6;
  }
  .usual {
    stroke: var(--bl-good);
    stroke-width: 2.4;
    stroke-dasharray: 7 4;
  }
  .base {
    stroke: var(--bl-ink);
    stroke-width: 1.6;
  }
  .read.low {
    fill: var(--bl-bad);
  }
  @media (forced-colors: active) {
    .block,
    .block.low {
      fill: Canvas;
      stroke: CanvasText;
    }
    .post {
      fill: Canvas;
      stroke: CanvasText;
    }
    .hatch,
    .usual,
    .base {
      stroke: CanvasText;
    }
    .read.low {
      fill: CanvasText;
    }
  }
`
