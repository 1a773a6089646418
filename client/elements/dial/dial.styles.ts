import { css } from 'lit'

export const dialStyles = css`
  :host {
    display: block;
    border: 1px solid var(--bl-line);
    border-radius: 12px;
    background: var(--bl-stub);
    padding: 4px 8px 0;
  }
  svg {
    display: block;
    inline-size: 100%;
    max-inline-size: 300px;
    block-size: auto;
    margin-inline: auto;
  }
  text {
    font-family: var(--bl-font-numbers);
    font-size: 11.5px;
    fill: var(--bl-soft);
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
    fill: var(--bl-lamp);
    stroke: var(--bl-ink);
    stroke-width: 0.8;
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
