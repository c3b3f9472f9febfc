// Lengths as everywhere in the set, and texts in which they stay on one line.

// A length in mm in the units of a scene: metric, or feet and inches with fractions.
export function lengthText(length, about) {
  if (about.units !== 'imperial') {
    const written = length.toFixed(Math.max(1, about.decimals || 0)).replace(/\.?0+$/, '');
    return `${written === '-0' ? '0' : written} mm`;
  }
  const parts = about.fraction || 16, sign = length < 0 ? '-' : '';
  let steps = Math.round(Math.abs(length) / 25.4 * parts);
  const feet = Math.floor(steps / (12 * parts));
  steps -= feet * 12 * parts;
  const inches = Math.floor(steps / parts);
  let [top, under] = [steps % parts, parts];
  while (top && top % 2 === 0) { top /= 2; under /= 2; }
  const fraction = top ? `${inches ? ' ' : ''}${top}/${under}` : '';
  const small = `${inches || !top ? inches : ''}${fraction}"`;
  return steps || feet ? `${sign}${feet ? `${feet}'-` : ''}${small}` : '0"';
}

// A text in which a number stays on one line with its fraction and its unit.
export function tied(text) {
  return text.replace(
    /(\d) (?=\d+\/\d|(?:mm|m|kg|g|lb|oz|in|ft|yd|deg)[²³]?(?!\w)|%|×)|(×) (?=[A-Z])/g,
    '$1$2\u00a0');
}
