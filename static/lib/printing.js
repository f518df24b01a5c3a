// Whether the page is being printed, so that folded parts open on paper.
import { signal } from './ui.js';

export const printing = signal(false);

addEventListener('beforeprint', () => {
  printing.value = true;
});
addEventListener('afterprint', () => {
  printing.value = false;
});
