// Grayscale pictures as typed arrays: conversion, resizing, cutting out with a rotation.

/** @typedef {{ data: Uint8Array<ArrayBuffer>, width: number, height: number }} Gray */
/**
 * A piece of a picture: the centre in its pixels, the size of the piece in pixels of its own, the angle in radians by
 * which its lines rise clockwise, and how many of its pixels make one of the picture's.
 * @typedef {{ x: number, y: number, width: number, height: number, angle: number, scale: number }} Cut
 */

/**
 * @param {{ data: Uint8ClampedArray | Uint8Array, width: number, height: number }} picture RGBA
 * @returns {Gray}
 */
export function toGray({ data, width, height }) {
  const gray = new Uint8Array(width * height);
  for (let at = 0, from = 0; at < gray.length; at += 1, from += 4)
    gray[at] = (Number(data[from]) * 77 + Number(data[from + 1]) * 150 + Number(data[from + 2]) * 29) >> 8;
  return { data: gray, width, height };
}

/** @param {Gray} gray @returns {Uint8ClampedArray<ArrayBuffer>} RGBA */
export function toRgba({ data }) {
  const pixels = new Uint32Array(data.length);
  for (let at = 0; at < data.length; at += 1) pixels[at] = Number(data[at]) * 0x010101 + 0xff000000;
  return new Uint8ClampedArray(pixels.buffer);
}

/**
 * Halve a picture, averaging four pixels into one.
 * @param {Gray} gray
 * @returns {Gray}
 */
export function halve({ data, width, height }) {
  const [w, h] = [Math.max(1, width >> 1), Math.max(1, height >> 1)];
  const out = new Uint8Array(w * h);
  for (let y = 0; y < h; y += 1) {
    const above = 2 * y * width;
    const below = Math.min(2 * y + 1, height - 1) * width;
    for (let x = 0; x < w; x += 1) {
      const [left, right] = [2 * x, Math.min(2 * x + 1, width - 1)];
      const sum =
        Number(data[above + left]) +
        Number(data[above + right]) +
        Number(data[below + left]) +
        Number(data[below + right]);
      out[y * w + x] = (sum + 2) >> 2;
    }
  }
  return { data: out, width: w, height: h };
}

/**
 * Cut a rotated piece out of a picture; what lies outside repeats the edge.
 * @param {Gray} gray
 * @param {Cut} cut
 * @returns {Gray}
 */
export function cutOut(gray, cut) {
  if (cut.scale <= 0.5) return cutOut(halve(gray), { ...cut, x: cut.x / 2, y: cut.y / 2, scale: cut.scale * 2 });
  const [width, height] = [Math.max(1, Math.round(cut.width)), Math.max(1, Math.round(cut.height))];
  const out = new Uint8Array(width * height);
  const [cos, sin] = [Math.cos(cut.angle) / cut.scale, Math.sin(cut.angle) / cut.scale];
  for (let v = 0; v < height; v += 1) {
    const dy = v + 0.5 - height / 2;
    let x = cut.x + (0.5 - width / 2) * cos - dy * sin - 0.5;
    let y = cut.y + (0.5 - width / 2) * sin + dy * cos - 0.5;
    for (let u = 0; u < width; u += 1, x += cos, y += sin) out[v * width + u] = sample(gray, x, y);
  }
  return { data: out, width, height };
}

/**
 * Blur a picture with a kernel of 3 by 3 pixels, against noise.
 * @param {Gray} gray
 * @returns {Gray}
 */
export function blur({ data, width, height }) {
  const across = new Uint16Array(data.length);
  for (let y = 0; y < height; y += 1)
    for (let x = 0; x < width; x += 1) {
      const at = y * width + x;
      const [left, right] = [x > 0 ? at - 1 : at, x + 1 < width ? at + 1 : at];
      across[at] = Number(data[left]) + 2 * Number(data[at]) + Number(data[right]);
    }
  const out = new Uint8Array(data.length);
  for (let at = 0; at < data.length; at += 1) {
    const [above, below] = [at >= width ? at - width : at, at + width < data.length ? at + width : at];
    out[at] = (Number(across[above]) + 2 * Number(across[at]) + Number(across[below]) + 8) >> 4;
  }
  return { data: out, width, height };
}

/** @param {Gray} gray @param {number} x @param {number} y bilinear; the edge repeats */
export function sample({ data, width, height }, x, y) {
  const cx = x < 0 ? 0 : x > width - 1 ? width - 1 : x;
  const cy = y < 0 ? 0 : y > height - 1 ? height - 1 : y;
  const [left, top] = [cx | 0, cy | 0];
  const right = left + 1 < width ? left + 1 : left;
  const below = (top + 1 < height ? top + 1 : top) * width;
  const above = top * width;
  const [fx, fy] = [cx - left, cy - top];
  const first = Number(data[above + left]) * (1 - fx) + Number(data[above + right]) * fx;
  const second = Number(data[below + left]) * (1 - fx) + Number(data[below + right]) * fx;
  return first * (1 - fy) + second * fy + 0.5;
}

/**
 * Return the box in the picture around a box in a piece of it.
 * @param {Cut} cut
 * @param {{ left: number, top: number, right: number, bottom: number }} rect
 * @returns {{ x: number, y: number, width: number, height: number }}
 */
export function boxInPicture(cut, { left, top, right, bottom }) {
  const [cos, sin] = [Math.cos(cut.angle) / cut.scale, Math.sin(cut.angle) / cut.scale];
  const corners = [
    [left, top],
    [right, top],
    [left, bottom],
    [right, bottom],
  ].map(([u = 0, v = 0]) => {
    const [dx, dy] = [u - cut.width / 2, v - cut.height / 2];
    return [cut.x + dx * cos - dy * sin, cut.y + dx * sin + dy * cos];
  });
  const xs = corners.map(([x = 0]) => x);
  const ys = corners.map(([, y = 0]) => y);
  const [x, y] = [Math.min(...xs), Math.min(...ys)];
  return { x, y, width: Math.max(...xs) - x, height: Math.max(...ys) - y };
}
