/**
 * A text as part of a file name that every system takes: plain letters, figures, dots and hyphens; runs of
 * anything else become one hyphen.
 * @param otherwise what stands where nothing of the text is left. @param longest in characters.
 */
export function fileWord(text: string, otherwise: string, longest = 40): string {
  return (
    text
      .normalize('NFKD')
      .replace(/[^A-Za-z0-9._-]+/g, '-')
      .replace(/^[-.]+|[-.]+$/g, '')
      .slice(0, longest) || otherwise
  );
}
