import { escaped } from "../figures/text.js";

/** A page that needs nothing but itself: no script, no request. `main` and `style` are HTML and CSS as they are; the title is text. */
export function htmlPage({ title, style, main }: { readonly title: string; readonly style: string; readonly main: string }): string {
  return `<!doctype html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escaped(title)}</title>
<style>${style}</style>
</head>
<body>
${main}
</body>
</html>
`;
}
