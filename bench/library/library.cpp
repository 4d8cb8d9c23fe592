// Lays convex pieces on a strip with Debian's general packing library, again
// and again in other orders, until the time is up, and prints the shortest
// layout.
//
// Input: width, seconds and the number of pieces; for each piece how many are
// needed, in how many ways it may lie (1, or 2 half a turn apart) and its
// corners clockwise, all lengths as whole numbers. Output: length and number of
// layouts tried; for each copy its piece, turn in degrees and shift.

#include <chrono>
#include <iostream>
#include <random>

#include <libnest2d/libnest2d.hpp>

using namespace libnest2d;

namespace {

struct Piece {
    int count, turns;
    PolygonImpl outline;
};

std::vector<Piece> read_pieces(size_t n) {
    std::vector<Piece> pieces(n);
    for (Piece &p : pieces) {
        size_t corners;
        std::cin >> p.count >> p.turns >> corners;
        for (size_t k = 0; k <= corners; k++) {
            long x, y;
            if (k < corners) {
                std::cin >> x >> y;
                p.outline.Contour.emplace_back(x, y);
            } else {
                p.outline.Contour.push_back(p.outline.Contour.front());
            }
        }
    }
    return pieces;
}

// join sets further strips, which hold what found no place on the first, behind
// it, and gives the far end of the last.
Coord join(std::vector<Item> &items) {
    Coord end = 0;
    for (int strip = 0, left = int(items.size()); left > 0; strip++) {
        Coord start = end;
        for (Item &item : items) {
            if (item.binId() != strip) continue;
            item.translate({start, 0});
            end = std::max(end, getX(item.boundingBox().maxCorner()));
            left--;
        }
    }
    return end;
}

} // namespace

int main() {
    Coord width;
    double seconds;
    size_t n;
    std::cin >> width >> seconds >> n;
    std::vector<Piece> pieces = read_pieces(n);

    std::vector<size_t> copies;
    double area = 0;
    bool half_turns = false;
    for (size_t k = 0; k < n; k++) {
        for (int c = 0; c < pieces[k].count; c++) copies.push_back(k);
        area += pieces[k].count * Item(pieces[k].outline).area();
        half_turns = half_turns || pieces[k].turns > 1;
    }
    // Three times the length of a perfect layout holds any that is of use.
    Box strip({0, 0}, {Coord(3 * area / width), width});
    double along = strip.width(), across = width;

    NestConfig<> config;
    config.placer_config.rotations = {0.0};
    if (half_turns) config.placer_config.rotations.emplace_back(Pi);
    config.placer_config.alignment = NfpPlacer::Config::Alignment::DONT_ALIGN;
    config.placer_config.starting_point = NfpPlacer::Config::Alignment::BOTTOM_LEFT;
    // The near end of the strip first, low before high, outside never.
    config.placer_config.object_function = [&](const Item &item) {
        auto box = item.boundingBox();
        double out = std::max({0.0, -double(getX(box.minCorner())), -double(getY(box.minCorner())),
                               double(getX(box.maxCorner())) - along, double(getY(box.maxCorner())) - across});
        if (out > 0) return 2 + out / across;
        return getX(box.maxCorner()) / along + 1e-3 * getY(box.maxCorner()) / across;
    };

    auto start = std::chrono::steady_clock::now();
    auto elapsed = [&] { return std::chrono::duration<double>(std::chrono::steady_clock::now() - start).count(); };
    std::mt19937 chance(1);
    std::uniform_real_distribution<double> noise(0.5, 1.5);
    std::vector<Item> best;
    Coord shortest = std::numeric_limits<Coord>::max();
    int tried = 0;
    do {
        std::vector<Item> items;
        std::vector<std::pair<double, size_t>> order;
        for (size_t i = 0; i < copies.size(); i++) {
            items.emplace_back(pieces[copies[i]].outline);
            order.emplace_back(items[i].area() * (tried ? noise(chance) : 1.0), i);
        }
        std::sort(order.begin(), order.end());
        for (size_t k = 0; k < order.size(); k++) items[order[k].second].priority(int(k));
        nest(items, strip, 0, config, NestControl(StopCondition([&] { return best.size() && elapsed() > seconds; })));
        if (best.size() && elapsed() > seconds) break;
        tried++;
        Coord end = join(items);
        if (end < shortest) {
            best = items;
            shortest = end;
        }
    } while (elapsed() < seconds);

    std::cout << shortest << ' ' << tried << '\n';
    for (size_t i = 0; i < best.size(); i++)
        std::cout << copies[i] << ' ' << double(best[i].rotation()) * 180 / Pi << ' '
                  << getX(best[i].translation()) << ' ' << getY(best[i].translation()) << '\n';
}
