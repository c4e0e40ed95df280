#include "core/run/mdr_dyed.h"

#include <string.h>

#include "core/run/mdr_hold.h"

static bool was_given(const mdr_batch_step *s)
{
    return s->state == MDR_STEP_RUNS || s->state == MDR_STEP_DONE;
}

static bool gives_dye(const mdr_batch_step *s)
{
    for (int i = 0; i < s->asked->n_items; i++) {
        if (s->asked->items[i].dye) {
            return true;
        }
    }
    return false;
}

static bool takes_colour_off(const mdr_batch_step *s)
{
    return strcmp(s->remedy_id, mdr_remedy_id(MDR_REMEDY_STRIP_PART)) == 0 ||
           strcmp(s->remedy_id, mdr_remedy_id(MDR_REMEDY_STRIP_FULL)) == 0;
}

static void add(mdr_dyed *d, const char *material_id, int64_t mass_mg)
{
    int at = 0;
    while (at < d->n && strcmp(d->dye[at].material_id, material_id) != 0) {
        at++;
    }
    if (at == MDR_DYED_MAX) {
        d->overflow = true;
        return;
    }
    if (at == d->n) {
        d->dye[d->n++] = (mdr_dyed_dye){material_id, 0};
    }
    d->dye[at].mass_mg += mass_mg;
}

static void add_step(mdr_dyed *d, const mdr_batch_step *s)
{
    for (int i = 0; i < s->asked->n_items; i++) {
        const mdr_control_item *item = &s->asked->items[i];
        if (item->dye) {
            /* a batch that was never weighed cannot be: what was asked for stands in */
            add(d, item->material_id,
                s->items[i].weighed_mg > 0 ? s->items[i].weighed_mg : item->mass_mg);
        }
    }
}

mdr_dyed mdr_batch_dyed(const mdr_batch *b)
{
    mdr_dyed d = {0};
    int last = 0; /* number of the remedy counted last */
    for (int i = 0; i < b->n_steps; i++) {
        const mdr_batch_step *s = &b->steps[i];
        const bool addition = s->remedy > 0 && s->state != MDR_STEP_LEFT_OUT && gives_dye(s);
        if (addition && s->remedy != last) {
            d.n_additions++;
            last = s->remedy;
        }
        if (was_given(s)) {
            add_step(&d, s);
            d.stripped = d.stripped || (s->remedy > 0 && takes_colour_off(s));
        }
    }
    return d;
}
