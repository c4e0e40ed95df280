/* The answers of a dyeing as JSON, and the map of the rope. */
#include "wire/mdr_dyeing_write_in.h"

static void put_dye(const mdr_dyeing_writer *w, int i)
{
    const mdr_dyeing_dye *dye = &w->o->dyes[i];
    const mdr_dye_answer *a = &w->o->result.answers.dyes[i];
    const bool fixes = w->o->has_loose;
    mdr_json *j = w->j;
    mdr_json_object(j, NULL);
    mdr_json_text(j, "dye_id", dye->material->material_id);
    mdr_json_text(j, "name", dye->material->name);
    mdr_json_text(j, "swatch", dye->material->swatch);
    mdr_dyeing_put(w, "depth_pct_owf", dye->depth_pct_owf);
    mdr_dyeing_put(w, "kg", a->kg);
    mdr_json_text(j, "rates", dye->rates.id);
    mdr_json_text(j, "rates_words", dye->rates.words);
    mdr_dyeing_put_or_null(w, "exhaustion_before_alkali_pct", a->before_alkali_pct >= 0.0,
                           a->before_alkali_pct);
    mdr_dyeing_put(w, "exhaustion_pct", a->exhaustion_pct);
    mdr_dyeing_put_or_null(w, "fixation_pct", fixes, a->fixation_pct);
    mdr_dyeing_put_or_null(w, "yield_pct", fixes, a->yield_pct);
    mdr_dyeing_put_or_null(w, "hydrolysed_pct", fixes, a->hydrolysed_pct);
    mdr_dyeing_put_or_null(w, "loose_pct", fixes, a->loose_pct);
    mdr_dyeing_put(w, "bath_pct", a->left_pct);
    mdr_dyeing_put(w, "half_min", a->half_min);
    mdr_dyeing_put(w, "strike_most_pct_per_contact", a->strike_most_pct);
    mdr_dyeing_put(w, "strike_at_min", a->strike_at_min);
    mdr_dyeing_put(w, "over_limit_min", a->over_limit_min);
    mdr_dyeing_put_or_null(w, "known_exhaustion_pct", dye->material->exhaustion_pct > 0.0,
                           dye->material->exhaustion_pct);
    mdr_dyeing_put_or_null(w, "known_fixation_pct", dye->material->fixation_pct > 0.0,
                           dye->material->fixation_pct);
    mdr_dyeing_put(w, "spread_end_pct", a->spread_end_pct);
    mdr_json_end_object(j);
}

static void put_strike(const mdr_dyeing_writer *w)
{
    const mdr_dyeing_answers *a = &w->o->result.answers;
    const double limit = w->o->study->limit_pct_per_contact;
    mdr_json_object(w->j, "strike");
    mdr_dyeing_put(w, "limit_pct_per_contact", limit);
    mdr_dyeing_put(w, "most_pct_per_contact", a->strike_most_pct);
    mdr_json_text(w->j, "dye_id", w->o->dyes[a->strike_dye].material->material_id);
    mdr_dyeing_put(w, "at_min", a->strike_at_min);
    mdr_dyeing_put_or_null(w, "step", w->o->strike_step > 0, w->o->strike_step);
    mdr_dyeing_put(w, "over_min", a->over_limit_min);
    mdr_dyeing_put(w, "contacts_per_min", a->contacts_per_min);
    mdr_dyeing_put(w, "most_pct_per_min", a->strike_most_pct * a->contacts_per_min);
    mdr_dyeing_put(w, "limit_pct_per_min", limit * a->contacts_per_min);
    mdr_json_bool(w->j, "level", a->strike_most_pct <= limit);
    mdr_json_text(w->j, "verdict", w->o->strike.id);
    mdr_json_text(w->j, "words", w->o->strike.words);
    mdr_json_end_object(w->j);
}

static void put_level_at(const mdr_dyeing_writer *w, const char *key, const mdr_dyeing_level *l)
{
    mdr_json_object(w->j, key);
    mdr_dyeing_put(w, "spread_pct", l->even.spread_pct);
    mdr_dyeing_put(w, "along_rope_pct", l->even.along_pct);
    mdr_dyeing_put(w, "between_tubes_pct", l->even.between_pct);
    mdr_dyeing_put(w, "de_most", l->de_most);
    mdr_dyeing_put(w, "de_tubes", l->de_tubes);
    mdr_dyeing_put(w, "at_min", l->at_min);
    mdr_json_end_object(w->j);
}

static void put_level_when(const mdr_dyeing_writer *w, const char *key, bool there,
                           const mdr_dyeing_level *l)
{
    if (there) {
        put_level_at(w, key, l);
    } else {
        mdr_json_null(w->j, key);
    }
}

static void put_level(const mdr_dyeing_writer *w)
{
    mdr_json_object(w->j, "level");
    mdr_dyeing_put_or_null(w, "alkali_at_min",
                           w->o->study->reactive && w->o->result.course.alkali_min >= 0.0,
                           w->o->result.course.alkali_min);
    put_level_when(w, "before_alkali", w->o->has_before, &w->o->before);
    put_level_when(w, "fixing", w->o->has_fixing, &w->o->fixing);
    put_level_at(w, "end", &w->o->end);
    put_level_when(w, "peak", w->o->has_peak, &w->o->peak);
    mdr_dyeing_put(w, "limit_de", w->o->level_limit_de);
    mdr_dyeing_put(w, "fixing_limit_de", w->o->fixing_limit_de);
    mdr_dyeing_put_or_null(w, "fixing_until_min", w->o->has_fixing, w->o->fixing_until_min);
    mdr_json_text(w->j, "verdict", w->o->level.id);
    mdr_json_text(w->j, "words", w->o->level.words);
    mdr_json_text(w->j, "judged_words", w->o->judged_words);
    mdr_json_text(w->j, "colour_from",
                  w->o->colour_from == MDR_COLOUR_OF_LADDERS ? "ladders" : "shade");
    mdr_json_text(w->j, "colour_words", w->o->colour_words);
    mdr_json_end_object(w->j);
}

static void put_tone(const mdr_dyeing_writer *w)
{
    const mdr_dyeing_answers *a = &w->o->result.answers;
    mdr_json_object(w->j, "tone");
    mdr_dyeing_put(w, "apart_most_pct", a->apart_most_pct);
    mdr_dyeing_put(w, "at_min", a->apart_at_min);
    mdr_json_text(w->j, "first_dye_id", w->o->dyes[a->apart_first].material->material_id);
    mdr_json_text(w->j, "last_dye_id", w->o->dyes[a->apart_last].material->material_id);
    mdr_dyeing_put(w, "limit_pct", MDR_APART_LIMIT_PCT);
    mdr_json_text(w->j, "verdict", w->o->tone.id);
    mdr_json_text(w->j, "words", w->o->tone.words);
    mdr_json_end_object(w->j);
}

static void put_wash_off(const mdr_dyeing_writer *w)
{
    const mdr_dyeing_out *o = w->o;
    if (!o->has_loose) {
        mdr_json_null(w->j, "wash_off");
        return;
    }
    mdr_json_object(w->j, "wash_off");
    mdr_dyeing_put(w, "loose_mg_per_kg", o->result.answers.loose_mg_per_kg);
    mdr_dyeing_put_or_null(w, "planned_loose_mg_per_kg", o->planned_loose_mg_per_kg >= 0.0,
                           o->planned_loose_mg_per_kg);
    mdr_dyeing_put(w, "target_mg_per_kg", o->target_mg_per_kg);
    mdr_dyeing_put(w, "baths_needed", o->baths_needed);
    mdr_json_int(w->j, "baths_planned", o->baths_planned);
    mdr_json_text(w->j, "words", o->wash_off_words);
    mdr_json_end_object(w->j);
}

static void put_effects(const mdr_dyeing_writer *w)
{
    if (w->o->effects == NULL) {
        mdr_json_null(w->j, "sensitivity");
        return;
    }
    mdr_json_array(w->j, "sensitivity");
    for (int i = 0; i < w->o->n_effects; i++) {
        const mdr_dyeing_effect *e = &w->o->effects[i];
        mdr_json_object(w->j, NULL);
        mdr_json_text(w->j, "what", mdr_mishap_id(e->mishap));
        mdr_json_text(w->j, "words", mdr_mishap_words(e->mishap));
        mdr_dyeing_put_or_null(w, "fixation_pct", w->o->has_loose, e->fixation_pct);
        mdr_dyeing_put(w, "de", e->de);
        mdr_dyeing_put(w, "dl", e->dl);
        mdr_dyeing_put(w, "de_most", e->de_most);
        mdr_dyeing_put(w, "strike_pct_per_contact", e->strike_pct);
        mdr_dyeing_put_or_null(w, "loose_mg_per_kg", w->o->has_loose, e->loose_mg_per_kg);
        mdr_json_end_object(w->j);
    }
    mdr_json_end_array(w->j);
}

static void put_pair(const mdr_dyeing_writer *w, const char *key, const double *pair)
{
    mdr_json_array(w->j, key);
    mdr_dyeing_put(w, NULL, pair[0]);
    mdr_dyeing_put(w, NULL, pair[1]);
    mdr_json_end_array(w->j);
}

static void put_margin(const mdr_dyeing_writer *w)
{
    const mdr_dyeing_margin *m = w->o->margin;
    if (m == NULL) {
        mdr_json_null(w->j, "margin");
        return;
    }
    mdr_json_object(w->j, "margin");
    if (w->o->has_loose) {
        put_pair(w, "fixation_pct", m->fixation_pct);
    } else {
        mdr_json_null(w->j, "fixation_pct");
    }
    put_pair(w, "de_most", m->de_most);
    put_pair(w, "strike_pct_per_contact", m->strike_pct);
    mdr_dyeing_put(w, "de_shade", m->de_shade);
    mdr_json_text(w->j, "words", m->words);
    mdr_json_end_object(w->j);
}

/* -- map -- */

static char *base64(const unsigned char *bytes, size_t n, mdr_arena *arena)
{
    static const char DIGITS[] =
        "ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/=";
    char *out = MDR_NEW_N(arena, char, (n + 2) / 3 * 4 + 1);
    if (out == NULL) {
        return NULL;
    }
    size_t at = 0;
    for (size_t i = 0; i < n; i += 3) {
        const size_t have = n - i < 3 ? n - i : 3;
        const unsigned three = (unsigned)bytes[i] << 16 |
                               (have > 1 ? (unsigned)bytes[i + 1] << 8 : 0u) |
                               (have > 2 ? (unsigned)bytes[i + 2] : 0u);
        for (size_t k = 0; k < 4; k++) {
            out[at++] = DIGITS[k <= have ? three >> (18 - 6 * k) & 63u : 64u];
        }
    }
    out[at] = '\0';
    return out;
}

static bool put_map(const mdr_dyeing_writer *w, mdr_arena *arena)
{
    const mdr_dyeing_map *m = w->o->map;
    if (m == NULL) {
        mdr_json_null(w->j, "map");
        return true;
    }
    const size_t n = (size_t)m->times * (size_t)m->slices;
    const char *rgb = base64(m->rgb, 3 * n, arena);
    const char *off = base64((const unsigned char *)m->off, n, arena);
    if (rgb == NULL || off == NULL) {
        return false;
    }
    mdr_json_object(w->j, "map");
    mdr_json_int(w->j, "times", m->times);
    mdr_json_int(w->j, "slices", m->slices);
    mdr_json_int(w->j, "tubes", m->tubes);
    mdr_json_array(w->j, "t_min");
    for (int i = 0; i < m->times; i++) {
        mdr_dyeing_put(w, NULL, m->t_min[i]);
    }
    mdr_json_end_array(w->j);
    mdr_json_text(w->j, "rgb", rgb);
    mdr_json_text(w->j, "off", off);
    mdr_dyeing_put(w, "off_pct_per_count", m->off_pct_per_count);
    mdr_json_end_object(w->j);
    return true;
}

bool mdr_dyeing_put_answers(const mdr_dyeing_writer *w, mdr_arena *arena)
{
    mdr_json_array(w->j, "dyes");
    for (int i = 0; i < w->o->result.dyeing->n_dyes; i++) {
        put_dye(w, i);
    }
    mdr_json_end_array(w->j);
    put_strike(w);
    put_level(w);
    put_tone(w);
    put_wash_off(w);
    put_effects(w);
    put_margin(w);
    return put_map(w, arena);
}
