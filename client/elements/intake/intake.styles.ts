import { css } from 'lit'

export const intakeStyles = css`
  form {
    display: grid;
    gap: 14px;
    padding: 18px var(--bl-pad, 20px) 20px;
  }
  h2 + p {
    margin-block-start: 7px;
  }
  .fields {
    display: grid;
    grid-template-columns: repeat(auto-fill, minmax(min(100%, 15em), 1fr));
    gap: 13px 16px;
  }
  label {
    display: block;
    margin-block-end: 4px;
    font-size: 0.92em;
    color: var(--bl-soft);
  }
  .do {
    display: flex;
    gap: 10px;
    flex-wrap: wrap;
  }
  .do .main {
    flex: 1;
  }
  .do :not(.main) {
    min-block-size: 54px;
  }
`
