// Pictures as SVG, each with a title; the table behind it is the caller's.
import { html } from "../vendor/preact.js";
import { money, plain } from "./numbers.js";

/**
 * How many cards at each cost. Bars of the three groups of the curve stand a little apart.
 * @param {{title: string, curve: Map<number, number>, most: number, highest: number, hue: Record<string, string>}} props most: cards of the fullest cost; highest: the last cost drawn
 */
export function Curve({ title, curve, most, highest, hue }) {
  const [width, height, gap] = [24, 78, 6];
  let x = 2;
  const bars = [];
  for (let cost = 0; cost <= highest; cost++) {
    if (cost === 3 || cost === 5) x += 8;
    const number = curve.get(cost) || 0;
    const tall = (number / most) * height;
    bars.push(html`<g>
      <rect class="bar" x=${x} y=${14 + height - tall} width=${width} height=${tall} rx="1.5" />
      ${number ? html`<text x=${x + width / 2} y=${10 + height - tall} text-anchor="middle">${number}</text>` : null}
      <text class="axis" x=${x + width / 2} y=${height + 28} text-anchor="middle">${cost}</text></g>`);
    x += width + gap;
  }
  return html`<svg class="picture" role="img" aria-label=${title} viewBox=${`0 0 ${x} ${height + 34}`} width=${x} style=${hue}>
    <title>${title}</title><line class="ground" x1="0" x2=${x} y1=${14 + height} y2=${14 + height} />${bars}</svg>`;
}

/** A bar within a table's line. @param {{share: number}} props from 0 to 1 */
export function Share({ share }) {
  return html`<svg class="share" aria-hidden="true" viewBox="0 0 100 8" preserveAspectRatio="none"><rect class="back" width="100" height="8" /><rect class="bar" width=${Math.round(Math.max(0, Math.min(1, share)) * 100)} height="8" /></svg>`;
}

/**
 * What nine seats of ten see at least, and lighter up to the average; what one drafter needs, and what two need.
 * @param {{title: string, need: number, rows: {name: string, copies: number, sure: number, mean: number}[]}} props
 */
export function SeenBars({ title, need, rows }) {
  const [width, top, high] = [340, 18, 34];
  const height = top + high * rows.length;
  const most = Math.max(2 * need, ...rows.map((row) => row.mean));
  const across = (/** @type {number} */ cards) => (cards / most) * (width - 4);
  return html`<svg class="picture seen" role="img" aria-label=${title} viewBox=${`0 0 ${width} ${height}`} width=${width}>
    <title>${title}</title>
    <text class="axis" x="0" y="11">marks: enough for one (${need}), for two (${2 * need})</text>
    ${rows.map((row, at) => {
      const y = top + high * at;
      return html`<svg x="0" y=${y} width="180" height="16"><text x="0" y="12">${row.name}</text></svg>
        <text class="axis" x=${width} y=${y + 12} text-anchor="end">${row.sure} of ${row.copies}: ${row.sure >= 2 * need ? "enough for two" : row.sure >= need ? "enough for one" : "short"}</text>
        <rect class="mean" y=${y + 17} width=${across(row.mean)} height="10" /><rect class="sure" y=${y + 17} width=${across(row.sure)} height="10" />
        ${[need, 2 * need].map((cards) => html`<line class="need" x1=${across(cards)} x2=${across(cards)} y1=${y + 15} y2=${y + 29} />`)}`;
    })}
  </svg>`;
}

/**
 * The most fit that each cap buys.
 * @param {{title: string, points: {cap: number, fit: number, cost: number}[], knee: number | null, here: {cap: number, fit: number} | null}} props
 */
export function Frontier({ title, points, knee, here }) {
  const [width, height, left, bottom] = [560, 240, 58, 34];
  const caps = points.map((point) => point.cap).concat(here ? [here.cap] : []);
  const fits = points.map((point) => point.fit).concat(here ? [here.fit] : []);
  const [least, most] = [Math.min(...caps), Math.max(...caps)];
  const [low, high] = [Math.min(...fits), Math.max(...fits)];
  const x = (/** @type {number} */ cap) => left + ((cap - least) / (most - least || 1)) * (width - left - 20);
  const y = (/** @type {number} */ fit) => 16 + (1 - (fit - low) / (high - low || 1)) * (height - bottom - 30);
  const path = points.map((point, at) => `${at ? "L" : "M"}${x(point.cap).toFixed(1)} ${y(point.fit).toFixed(1)}`).join(" ");
  return html`<svg class="picture frontier" role="img" aria-label=${title} viewBox=${`0 0 ${width} ${height}`} width=${width}>
    <title>${title}</title>
    <line class="ground" x1=${left} x2=${width - 12} y1=${height - bottom} y2=${height - bottom} /><line class="ground" x1=${left} x2=${left} y1="10" y2=${height - bottom} />
    ${[low, (low + high) / 2, high].map((fit) => html`<text class="axis" x=${left - 6} y=${y(fit) + 4} text-anchor="end">${plain(Math.round(fit * 10) / 10)}</text>`)}
    ${points.map((point) => html`<text class="axis" x=${x(point.cap)} y=${height - bottom + 16} text-anchor="middle">${plain(point.cap)}</text>`)}
    <text class="axis" x=${width - 12} y=${height - 4} text-anchor="end">cap</text><text class="axis" x=${left + 6} y="14">fit</text>
    <path class="line" d=${path} />
    ${points.map((point) => html`<circle class=${point.cap === knee ? "knee" : "point"} cx=${x(point.cap)} cy=${y(point.fit)} r=${point.cap === knee ? 6 : 4}><title>cap ${money(point.cap)}: fit ${plain(point.fit)}</title></circle>`)}
    ${knee !== null && points.some((point) => point.cap === knee) ? html`<text x=${x(knee) + 9} y=${y(points.find((point) => point.cap === knee)?.fit || low) + 16}>knee</text>` : null}
    ${here ? html`<path class="here" d=${`M${x(here.cap) - 6} ${y(here.fit) - 14} h12 l-6 9 z`} /><text x=${x(here.cap)} y=${y(here.fit) - 19} text-anchor=${x(here.cap) > width - 60 ? "end" : "middle"}>this pool</text>` : null}
  </svg>`;
}
