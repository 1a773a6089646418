import { css } from 'lit'

export const handOverStyles = css`
  article {
    padding: 22px var(--bl-pad, 20px) 18px;
    display: grid;
    gap: 16px;
  }
  .say {
    color: var(--bl-soft);
    margin-block-start: 8px;
    text-wrap: pretty;
  }
  .pass {
    display: flex;
    gap: 18px;
    align-items: center;
    border: 1.5px dashed var(--bl-edge);
    border-radius: 14px;
    padding: 16px;
    background: var(--bl-stub);
  }
  bl-qr {
    flex: none;
    inline-size: 108px;
  }
  .code {
    font: 720 2.15em/1.05 var(--bl-font-numbers);
    letter-spacing: 0.04em;
    margin-block: 6px 3px;
    white-space: nowrap;
  }
  .pass .soft {
    font-size: 0.9em;
  }
  ul.until {
    display: grid;
    gap: 7px;
    margin-block-start: 7px;
  }
  .until li {
    padding-inline-start: 20px;
    position: relative;
  }
  .until li::before {
    content: '';
    position: absolute;
    inset-inline-start: 2px;
    inset-block-start: 0.52em;
    inline-size: 8px;
    block-size: 8px;
    border-radius: 50%;
    background: var(--bl-lamp);
  }
  .contact {
    border-block-start: 1px solid var(--bl-line);
    padding-block-start: 14px;
  }
  .tools {
    display: flex;
    gap: 8px;
    flex-wrap: wrap;
  }
  @container (max-width: 400px) {
    .code {
      font-size: 1.7em;
    }
    .pass {
      gap: 14px;
      padding: 13px;
    }
    bl-qr {
      inline-size: 92px;
    }
  }
`
