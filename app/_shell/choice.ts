/** A choice of the reader's own: kept in this browser and not in the address, the same in every tab. */
export class Choice<T> {
  private chosen: T | null = null;
  private readonly listeners = new Set<() => void>();

  /**
   * @param place its name in the browser's storage
   * @param parse takes what is stored, null where nothing is; what it can't read, by another version or hand, is to be the usual
   */
  constructor(
    private readonly place: string,
    private readonly parse: (stored: unknown) => T,
  ) {}

  subscribe = (listener: () => void): (() => void) => {
    this.listeners.add(listener);
    return () => this.listeners.delete(listener);
  };

  read = (): T => {
    this.chosen ??= this.first();
    return this.chosen;
  };

  choose = (chosen: T): void => {
    this.chosen ??= this.first();
    this.chosen = chosen;
    try {
      localStorage.setItem(this.place, JSON.stringify(chosen));
    } catch {
      // A full or barred store: the choice holds as long as the tab is open.
    }
    this.tell();
  };

  /** From then on other tabs are heeded, also while no page shows the choice: the next one that does is to show it as it is. */
  private first(): T {
    window.addEventListener('storage', this.elsewhere);
    return this.stored();
  }

  private stored(): T {
    try {
      return this.parse(JSON.parse(localStorage.getItem(this.place) ?? 'null'));
    } catch {
      return this.parse(null);
    }
  }

  private elsewhere = (event: StorageEvent): void => {
    if (event.key !== this.place && event.key !== null) return;
    this.chosen = this.stored();
    this.tell();
  };

  private tell(): void {
    for (const listener of this.listeners) listener();
  }
}
