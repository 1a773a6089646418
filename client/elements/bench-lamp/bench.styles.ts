import { css } from 'lit'

/** The bench at work: what a technician sees around the card. It comes with the parts that stand in it. */
export const benchStyles = css`
  .boxes {
    flex: 1;
    display: flex;
    min-inline-size: 0;
    border: 1px solid var(--bl-line);
    border-radius: 10px;
    background: var(--bl-stub);
    overflow: clip;
  }
  .boxes > div {
    padding: 5px 15px 6px;
    min-inline-size: 0;
    border-inline-end: 1px solid var(--bl-line);
  }
  .boxes > div:last-child {
    border: 0;
    flex: 1;
  }
  .boxes dt {
    font-size: 0.68em;
    font-weight: 680;
    letter-spacing: 0.085em;
    text-transform: uppercase;
    color: var(--bl-soft);
    white-space: nowrap;
  }
  .boxes dd {
    font-weight: 640;
    white-space: nowrap;
    overflow: hidden;
    text-overflow: ellipsis;
    line-height: 1.35;
  }
  .acts {
    display: flex;
    gap: 8px;
    align-items: center;
  }
  .grid {
    display: grid;
    gap: 18px;
    max-inline-size: 1440px;
    margin-inline: auto;
    grid-template-columns: 290px minmax(0, 1fr) 318px;
    grid-template-areas: 'trail main side' 'last main side';
    grid-template-rows: auto 1fr;
    align-items: start;
  }
  .grid.begin {
    grid-template-columns: minmax(0, 760px);
    grid-template-areas: 'main';
    justify-content: center;
    padding-block-start: 4vh;
  }
  .grid > .main {
    grid-area: main;
    display: flex;
    flex-direction: column;
    --bl-pad: 26px;
  }
  .trail {
    display: block;
    grid-area: trail;
    background: var(--bl-stub);
    padding: 17px 20px 12px;
    border-inline-end: 2px dashed var(--bl-edge);
    border-start-end-radius: 3px;
    border-end-end-radius: 3px;
  }
  .trail > h3 {
    margin-block-end: 9px;
  }
  .side,
  .last {
    grid-area: side;
    display: grid;
    gap: 18px;
  }
  .last {
    grid-area: last;
  }
  aside > section {
    padding: 17px 19px;
  }
  .lamp {
    display: flex;
    gap: 17px;
    align-items: center;
  }
  .lamp bl-mark {
    inline-size: 44px;
  }
  .lamp b {
    display: block;
    font-size: 1.24em;
    font-weight: 690;
    line-height: 1.2;
    letter-spacing: -0.008em;
  }
  .lamp span {
    font-size: 0.92em;
    color: var(--bl-soft);
  }
  .lamp.top {
    display: none;
  }
  .more {
    display: none;
  }

  @container (max-width: 1080px) {
    .grid {
      grid-template-columns: minmax(0, 1fr) 292px;
      grid-template-areas: 'main side' 'trail side' 'last side';
      grid-template-rows: auto auto 1fr;
    }
    .trail {
      border-inline-end: 1px solid var(--bl-line);
      border-block-start: 2px dashed var(--bl-edge);
      border-radius: 3px 3px var(--bl-radius) var(--bl-radius);
    }
  }
  @container (max-width: 760px) {
    .bench {
      padding: 0 0 24px;
    }
    .head {
      padding: 9px 8px;
      gap: 8px;
      flex-wrap: wrap;
    }
    .brand {
      flex: 1;
      font-size: 1.05em;
    }
    .brand bl-mark {
      inline-size: 21px;
    }
    .brand.working {
      display: none;
    }
    .lamp.top {
      display: flex;
      flex: 1;
      gap: 13px;
      min-inline-size: 0;
    }
    .lamp.top bl-mark {
      inline-size: 26px;
    }
    .lamp.top b {
      font-size: 1.05em;
    }
    .side .lamp {
      display: none;
    }
    .side > section.lamp-box {
      display: none;
    }
    .boxes {
      order: 3;
      flex-basis: 100%;
    }
    .boxes > div {
      padding: 3px 11px 4px;
    }
    .boxes dd {
      white-space: normal;
    }
    .boxes .optional {
      display: none;
    }
    .boxes > :has(+ .optional:last-child) {
      border: 0;
      flex: 1;
    }
    .acts {
      display: contents;
    }
    .acts button {
      order: 2;
      flex: 1 1 auto;
      padding-inline: 12px;
    }
    .acts .more {
      display: block;
      order: 1;
      flex: none;
    }
    .acts:not(.all) :not(.more) {
      display: none;
    }
    .grid,
    .grid.begin {
      grid-template-columns: minmax(0, 1fr);
      grid-template-areas: 'main' 'side' 'trail' 'last';
      gap: 12px;
      padding: 0 8px;
    }
    .grid > .main {
      --bl-pad: 17px;
    }
    aside > section {
      padding-inline: 17px;
    }
    .trail {
      border-radius: var(--bl-radius);
      border: 1px solid var(--bl-line);
    }
    .side,
    .last {
      gap: 12px;
    }
  }
  @media print {
    .grid {
      display: block;
    }
    .side,
    .last,
    .acts {
      display: none !important;
    }
    .trail {
      margin-block-start: 18px;
      padding: 0;
    }
  }
`
