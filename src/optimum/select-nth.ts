/**
 * The value that would stand at a place if values were sorted (Hoare's selection, 1961, from memory).
 * @param values put into another order: none before the place is greater, none behind it less
 * @param count how many of them count; no NaN among them
 * @param place from 0
 */
export function selectNth(values: Float64Array, count: number, place: number): number {
  let low = 0;
  let high = count - 1;
  while (low < high) {
    const pivot = values[(low + high) >> 1]!;
    let i = low;
    let j = high;
    while (i <= j) {
      while (values[i]! < pivot) i++;
      while (values[j]! > pivot) j--;
      if (i > j) break;
      const swapped = values[i]!;
      values[i++] = values[j]!;
      values[j--] = swapped;
    }
    if (place <= j) high = j;
    else if (place >= i) low = i;
    else break;
  }
  return values[place]!;
}
