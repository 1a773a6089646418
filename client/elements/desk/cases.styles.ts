import { css } from 'lit'

export const casesStyles = css`
  form[role='search'] {
    display: grid;
    grid-template-columns: repeat(auto-fit, minmax(min(155px, 100%), 1fr));
    gap: 10px;
    align-items: end;
    padding: 14px 16px;
    background: var(--bl-stub);
    border: 1px solid var(--bl-line);
    border-radius: var(--bl-radius);
  }
  form[role='search'] .acts:has(> :nth-child(3)) {
    grid-column: 1 / -1;
  }
  form[role='search'] .more {
    display: none;
  }
  input[type='date'] {
    padding-inline: 9px 6px;
  }
  .figures {
    display: grid;
    grid-template-columns: repeat(3, minmax(80px, 0.6fr)) minmax(200px, 2fr);
    gap: 1px;
    border: 1px solid var(--bl-line);
    border-radius: var(--bl-radius);
    overflow: hidden;
    background: var(--bl-line);
  }
  .figures > div {
    background: var(--bl-card);
    padding: 10px 16px;
  }
  .figures dt {
    font-size: 0.84em;
    color: var(--bl-soft);
  }
  .figures dd .number,
  .figures dd.number {
    font-size: 1.5em;
    line-height: 1.2;
  }
  .figures small {
    color: var(--bl-soft);
  }
  .figures dd:has(small) {
    display: flex;
    flex-wrap: wrap;
    gap: 0 10px;
    align-items: baseline;
  }
  .older {
    margin-block-start: 12px;
  }
  .two {
    display: grid;
    grid-template-columns: minmax(0, 1fr) 320px;
    gap: 14px;
    align-items: start;
  }
  .side {
    display: grid;
    gap: 14px;
    min-inline-size: 0;
  }
  tbody th a {
    display: inline-block;
    padding-block: 2px;
    font-size: 1.04em;
  }
  .back {
    display: inline-block;
    margin-block-start: 3px;
    padding: 1px 8px;
    border: 1px solid var(--bl-edge);
    border-radius: 6px;
    font-size: 0.84em;
    font-weight: 600;
    white-space: nowrap;
  }
  .when {
    white-space: nowrap;
  }
  .bars li {
    padding-block: 1px 7px;
  }
  .bars button {
    display: flex;
    justify-content: space-between;
    align-items: center;
    gap: 10px;
    inline-size: 100%;
    padding-inline: 0;
    border-inline: 0;
    text-align: start;
    color: var(--bl-ink);
    font-weight: 500;
  }
  .bars button span:first-child {
    text-decoration: underline;
    text-decoration-color: var(--bl-edge);
    text-underline-offset: 3px;
  }
  .bar {
    display: block;
    block-size: 8px;
    border-radius: 4px;
    background: var(--bl-track);
    overflow: hidden;
  }
  .bar span {
    display: block;
    block-size: 100%;
    border-radius: 4px;
    background: var(--bl-ink);
    opacity: 0.72;
  }
  .bars li:first-child .bar span {
    background: var(--bl-lamp);
    opacity: 1;
  }
  @media (max-width: 920px) {
    .two {
      grid-template-columns: minmax(0, 1fr);
    }
  }
  @media (max-width: 720px) {
    form[role='search'] {
      grid-template-columns: 1fr 1fr;
    }
    form[role='search'] .more {
      display: inline-block;
    }
    form[role='search'] .acts {
      grid-column: 1 / -1;
      gap: 8px;
    }
    form[role='search'] .acts .main {
      flex: 1 1 auto;
      padding-inline: 14px;
    }
    form[role='search'] .more {
      padding-inline: 6px;
    }
    form[role='search']:not(.all) label:nth-of-type(3) {
      grid-column: 1 / -1;
    }
    .when::before {
      content: attr(data-label) ' ';
      color: var(--bl-soft);
    }
    form[role='search']:not(.all) .further {
      display: none;
    }
    .figures {
      grid-template-columns: repeat(3, 1fr);
    }
    .figures > div:last-child {
      grid-column: 1 / -1;
    }
    .figures > div {
      padding: 8px 12px;
    }
    thead {
      position: absolute;
      clip-path: inset(50%);
    }
    tr {
      display: block;
      border-block-start: 1px solid var(--bl-line);
      padding-block: 9px;
    }
    tbody tr:first-child {
      border: 0;
      padding-block-start: 0;
    }
    tbody :is(td, th) {
      display: block;
      border: 0;
      padding: 1px 0;
    }
    td:empty {
      display: none;
    }
  }
`
