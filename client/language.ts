import fetchers from 'virtual:page-texts'
import english from 'virtual:page-texts/en'

/**
 * The counter and the bench page speak the reader's language, where there are texts in it; `?lang=` says another. Comes
 * before the element's own script, which asks the page what it speaks.
 */
const wanted = new URLSearchParams(location.search).get('lang')
const said = [...(wanted ? [wanted] : []), ...navigator.languages].map((l) => l.toLowerCase().split('-')[0]!)
const language = said.find((l) => l === 'en' || fetchers[l]) ?? 'en'
document.documentElement.lang = language

async function nameThePage(): Promise<void> {
  if (language === 'en') return
  const page = document.body.classList.contains('bench') ? 'bench' : 'counter'
  const texts = (await fetchers[language]!()).default
  const name = (texts[page] ?? english[page]!)()
  document.title = `${name} Benchlamp`
  for (const heading of document.querySelectorAll('h1.hidden')) heading.textContent = name
}

void nameThePage()
