/** Words of a text as people count them: runs of signs between blanks. */
export function wordCount(text: string): number {
  return text.split(/\s+/).filter((word) => word !== '').length;
}
