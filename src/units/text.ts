/**
 * The text with a capital letter first.
 * @example equal(capital("bass line"), "Bass line");
 */
export function capital(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
}
