/** A slug made from a person's words: `Fridge, top shelf` becomes `fridge-top-shelf`. Empty input gives `unnamed`. */
export function slugOf(words: string): string {
  const slug = words
    .normalize('NFKD')
    .replace(/[\u0300-\u036f]/g, '')
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, '-')
    .slice(0, 40)
    .replace(/^-+|-+$/g, '')
  return slug === '' ? 'unnamed' : slug
}
