// Small things that a browser keeps for this device. One that keeps nothing gets along with the defaults.
export function recall(name: string): string | null {
  try {
    return localStorage.getItem(name);
  } catch {
    return null;
  }
}
export function remember(name: string, value: string): void {
  try {
    localStorage.setItem(name, value);
  } catch {
    // as above
  }
}
