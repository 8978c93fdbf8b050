// danfojs asks for a whole system of mathematics (21 MB, half a second to load) for five statistics of a column; these are those five.
const flat = (values) => (Array.isArray(values) ? values.flat(Infinity) : [values]);

function numbersIn(values, name) {
  const numbers = flat(values);
  if (numbers.length === 0) throw new RangeError(`Cannot calculate the ${name}: the column is empty`);
  return numbers;
}

function mean(values) {
  const numbers = numbersIn(values, "mean");
  return numbers.reduce((sum, value) => sum + value, 0) / numbers.length;
}

function median(values) {
  const sorted = numbersIn(values, "median").slice().sort((a, b) => a - b);
  const half = sorted.length / 2;
  return sorted.length % 2 === 1 ? sorted[Math.floor(half)] : (sorted[half - 1] + sorted[half]) / 2;
}

function mode(values) {
  const times = new Map();
  for (const value of numbersIn(values, "mode")) times.set(value, (times.get(value) ?? 0) + 1);
  const most = Math.max(...times.values());
  return [...times.keys()].filter((value) => times.get(value) === most);
}

function variance(values) {
  const numbers = numbersIn(values, "variance");
  if (numbers.length === 1) return 0;
  const middle = mean(numbers);
  return numbers.reduce((sum, value) => sum + (value - middle) ** 2, 0) / (numbers.length - 1);
}

const std = (values) => Math.sqrt(variance(values));

module.exports = { mean, median, mode, variance, std };
