import { css } from 'lit'

export const deskStyles = css`
  :host {
    max-inline-size: 1240px;
    margin-inline: auto;
    padding: 14px clamp(10px, 2vw, 24px) 48px;
    color: var(--bl-ink);
    font: 17px/1.45 var(--bl-font);
  }
  /* The shop's colour reaches the parts that bring tokens of their own. */
  bl-account,
  bl-sign-in {
    --bl-act: inherit;
    --bl-act-ink: inherit;
    --bl-act-soft: inherit;
  }
  header {
    display: flex;
    flex-wrap: wrap;
    align-items: center;
    gap: 4px 20px;
    margin-block-end: 12px;
  }
  h1 {
    display: flex;
    align-items: center;
    gap: 12px;
    margin: 0;
    font-size: 1.36em;
    line-height: 1.15;
    letter-spacing: -0.014em;
    overflow-wrap: anywhere;
  }
  h1 bl-mark {
    inline-size: 30px;
    flex: none;
  }
  h1 small {
    display: block;
    margin-block-start: 2px;
    font-size: 0.56em;
    font-weight: 680;
    letter-spacing: 0.085em;
    text-transform: uppercase;
    color: var(--bl-soft);
  }
  bl-account {
    margin-inline-start: auto;
  }
  nav {
    display: flex;
    flex-wrap: wrap;
    gap: 4px;
    margin-block-end: 16px;
    border-block-end: 2px solid var(--bl-edge);
  }
  nav a {
    display: inline-flex;
    align-items: center;
    min-block-size: 46px;
    padding-inline: 16px;
    margin-block-end: -2px;
    border: 1px solid transparent;
    border-block-end: 2px solid transparent;
    border-radius: 10px 10px 0 0;
    color: var(--bl-ink);
    text-decoration: none;
    font-weight: 620;
  }
  nav a:hover {
    background: var(--bl-act-soft);
  }
  /* An index card's tab: the one in front joins the paper under it. */
  nav a[aria-current='page'] {
    background: var(--bl-card);
    border-color: var(--bl-edge);
    border-block-end-color: var(--bl-card);
    border-block-start: 3px solid var(--bl-act);
  }
  @media (max-width: 640px) {
    bl-account {
      inline-size: 100%;
    }
    header {
      gap: 4px;
      margin-block-end: 4px;
    }
    h1 {
      font-size: 1.2em;
    }
    /* In two rows a tab would open onto the other row: here they are buttons, and the one in front is framed. */
    nav {
      border: 0;
      margin-block-end: 12px;
    }
    nav a,
    nav a[aria-current='page'] {
      min-block-size: 44px;
      margin: 0;
      padding-inline: 11px;
      border: 1px solid transparent;
      border-radius: 10px;
      font-size: 0.94em;
    }
    nav a[aria-current='page'] {
      border-color: var(--bl-edge);
      box-shadow: inset 0 -3px 0 var(--bl-act);
    }
  }
  @media print {
    header,
    nav {
      display: none;
    }
  }
`
