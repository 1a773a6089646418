import { css } from 'lit'

/** On paper a drawing has ink and greys only: what colour says on a screen is said by shape, dash, hatch and word as well. */
export const paperPicturesStyles = css`
  :host {
    display: block;
    --bl-ink: #000;
    --bl-soft: #333;
    --bl-line: #999;
    --bl-card: #fff;
    --bl-stub: #fff;
    --bl-good: #555;
    --bl-bad: #000;
    --bl-red-lead: #000;
    --bl-black-lead: #000;
  }
  /* Where no current runs is grey: without a colour the thinner of two lines would not say it. */
  bl-schematic {
    --live: #000;
    --bl-ink: #4a4a4a;
  }
  section {
    margin-block-start: 4.5mm;
  }
  h3 {
    margin: 0 0 1.6mm;
    padding-block-end: 0.8mm;
    font-size: 9pt;
    font-weight: 700;
    letter-spacing: 0.07em;
    text-transform: uppercase;
    border-block-end: 0.6pt solid #000;
    break-after: avoid;
  }
  p {
    margin: 2.5mm 0 0;
  }
  p + p {
    margin-block-start: 1mm;
  }
  .small {
    font-size: 8.4pt;
    color: #333;
  }
  /* A picture cut in two is none. */
  .whole {
    display: block;
    break-inside: avoid;
  }
  :is(.drawn, .whole) + :is(.drawn, .whole) {
    margin-block-start: 3mm;
  }
  bl-step-plot,
  bl-battery-bars {
    max-inline-size: 140mm;
  }
  /* On a phone the circuit keeps the size at which it can be read, and is moved sideways; that it goes on is seen by its pale edge. */
  @media screen and (max-width: 640px) {
    .drawn {
      overflow-x: auto;
      mask-image: linear-gradient(to right, #000 calc(100% - 26px), rgb(0 0 0 / 0.2));
    }
    .drawn:dir(rtl) {
      mask-image: linear-gradient(to left, #000 calc(100% - 26px), rgb(0 0 0 / 0.2));
    }
    .drawn:focus-visible {
      outline: 3px solid #0a666d;
      outline-offset: -3px;
      mask-image: none;
    }
    bl-schematic {
      inline-size: 760px;
    }
  }
`
