import { css } from 'lit'

export const dialStyles = css`
  :host {
    display: block;
    max-inline-size: 330px;
    margin-block-end: 10px;
  }
  svg {
    display: block;
    inline-size: 100%;
    block-size: auto;
  }
  text {
    font-family: var(--bl-font-numbers);
    font-size: 11.5px;
    fill: var(--bl-soft);
  }
  .face {
    fill: var(--bl-stub);
    stroke: var(--bl-line);
  }
  .scale {
    stroke: var(--bl-ink);
    fill: none;
  }
  .sound {
    stroke: var(--bl-good);
    fill: none;
  }
  .fault {
    stroke: var(--bl-lamp);
  }
  .needle {
    stroke: var(--bl-bad);
    transform-box: view-box;
    transform-origin: 150px 148px;
    transition: transform 0.5s cubic-bezier(0.3, 1.5, 0.5, 1);
  }
  .needle.rest {
    stroke: var(--bl-soft);
    opacity: 0.5;
  }
  .unit {
    font-size: 17px;
    font-weight: 700;
    fill: var(--bl-ink);
  }
  @media (prefers-reduced-motion: reduce) {
    .needle {
      transition: none;
    }
  }
  @media (max-height: 620px) and (max-width: 560px) {
    :host {
      display: none;
    }
  }
`
