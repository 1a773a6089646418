import { css } from 'lit'

export const markStyles = css`
  :host {
    display: block;
    inline-size: 40px;
    flex: none;
  }
  svg {
    display: block;
    inline-size: 100%;
    block-size: auto;
    overflow: visible;
  }
  .glow,
  .lit,
  .ray {
    transition: opacity 0.9s ease-out;
  }
  .glow stop {
    stop-color: var(--bl-glow);
  }
  .lit {
    fill: var(--bl-glow);
  }
  .filament {
    stroke: var(--bl-lamp);
  }
  @media (prefers-reduced-motion: reduce) {
    .glow,
    .lit,
    .ray {
      transition: none;
    }
  }
`
