/** In the languages of the pages; a frame has no script to fetch them with. */
const SAID: Record<string, (origin: string) => [title: string, text: string, mend: string]> = {
  en: (origin) => [
    'This page is not allowed yet',
    `${origin} may not show the shop's questions.`,
    `If this is your page: add ${origin} at the desk, under Settings, to the pages that may hold the shop's conversations. Then load this page again.`,
  ],
  es: (origin) => [
    'Esta página aún no está permitida',
    `${origin} no puede mostrar las preguntas del taller.`,
    `Si la página es suya: añada ${origin} en el escritorio, en Ajustes, a las páginas que pueden mostrar las conversaciones del taller. Después, cargue de nuevo esta página.`,
  ],
}

/** What stands in a frame on a page that may not show the element. @param origin of the framing page, from `URL.origin` */
export function notAllowed(origin: string, language: unknown): string {
  const lang = typeof language === 'string' && SAID[language] ? language : 'en'
  const [title, text, mend] = SAID[lang]!(origin)
  return `<!doctype html>
<html lang="${lang}">
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<meta name="color-scheme" content="light dark">
<title>${title}</title>
<body style="font: 1rem/1.5 system-ui, sans-serif; max-width: 34em; margin: 2rem auto; padding: 0 1.2rem; overflow-wrap: anywhere">
<h1 style="font-size: 1.3rem">${title}</h1>
<p>${text}</p>
<p>${mend}</p>
</html>
`
}
