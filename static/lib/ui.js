/**
 * What a screen is made of, in one import: elements, hooks and signals.
 * `html` is a tagged template: html`<p class=${name}>${text}</p>`.
 *
 * @template T
 * @typedef {import("../vendor/signals.js").ReadonlySignal<T>} ReadonlySignal
 */
/**
 * @template T
 * @typedef {import("../vendor/signals.js").Signal<T>} Signal
 */
import { h, render } from '../vendor/preact.js';
import htm from '../vendor/htm.js';

export const html = htm.bind(h);

/* The bundler compiles `html` to calls of `h`. */
export { h, render };
export { useEffect, useId, useLayoutEffect, useMemo, useRef, useState } from '../vendor/preact-hooks.js';
export { batch, computed, effect, signal, useSignalEffect } from '../vendor/signals.js';
