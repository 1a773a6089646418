declare module 'snowball-stemmers' {
  interface Stemmer {
    stem(word: string): string
  }
  const stemmers: {
    /** Throws for an unknown language. */
    newStemmer(language: string): Stemmer
    algorithms(): string[]
  }
  export default stemmers
}
