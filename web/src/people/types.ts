export interface Who {
  signed_in: boolean;
  demo: boolean;
  locked: boolean;
  person_id: string;
  name: string;
  by_pin: boolean;
  pin_is_enough: boolean;
  lock_after_ms: number;
  ends_utc_ms: number;
  roles: string[];
  actions: string[];
}
export interface Session {
  device: string;
  address: string;
  created_utc_ms: number;
  last_seen_utc_ms: number;
  by_pin: boolean;
  locked: boolean;
}
export interface Person {
  person_id: string;
  name: string;
  active: boolean;
  roles: string[];
  has_password: boolean;
  has_badge: boolean;
  created_utc_ms: number;
  sessions: Session[];
}
export interface Rights {
  roles: { role: string; words: string; badge: boolean }[];
  actions: { action: string; words: string; roles: string[] }[];
}
